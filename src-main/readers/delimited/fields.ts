/** What a statement of a preamble can be about. */
export type Field =
  | 'rbw'
  | 'rbwShape'
  | 'noiseBandwidth'
  | 'bandwidth'
  | 'vbw'
  | 'averages'
  | 'averaging'
  | 'detector'
  | 'traceMode'
  | 'attenuation'
  | 'gain'
  | 'sweepTime'
  | 'referenceLevel'
  | 'start'
  | 'stop'
  | 'centre'
  | 'span'
  | 'points'
  | 'step'
  | 'levelUnit'
  | 'frequencyUnit'
  | 'units'
  | 'date'
  | 'traceName'
  | 'accuracy'
  | 'sampleRate'
  | 'known but of no use';

const RBW =
  '(?:rbw|res(?:olution)? ?b(?:and)? ?w(?:idth)?|if ?(?:bw|band ?width)|(?:auflöse|auflösungs|zf ?)bandbreite)';
const VBW = '(?:vbw|vid(?:eo)? ?b(?:and)? ?w(?:idth)?|videobandbreite)';
const COUNT = '(?:number|no|num|n|anzahl)(?: of)? ?';
const FREQ = '(?:freq|frequency|frequenz|fréquence|f)';

/** What a key may be called, in its plain spelling (see plainKey). The first that fits wins. */
const PATTERNS: readonly (readonly [RegExp, Field])[] = [
  [
    new RegExp(
      `^${RBW} (?:filter )?(?:bw|type|shape|definition|filter type)$|^(?:filter|if filter) (?:type|shape|bw)$`,
    ),
    'rbwShape',
  ],
  [
    new RegExp(
      `^${RBW} ?(?:auto|mode|coupling|filter|ratio|track)|^${VBW} (?:auto|mode|coupling|ratio)|^${VBW} ${RBW}|^${RBW} ${VBW}|^span ${RBW}`,
    ),
    'known but of no use',
  ],
  [new RegExp(`^${RBW}(?: (?:bandwidth|value|setting|\\d))?$`), 'rbw'],
  [/^(?:enbw|(?:equivalent |effective )?noise (?:bw|band ?width))$/, 'noiseBandwidth'],
  [/^(?:meas(?:urement)? |filter |analy(?:sis|zer) )?(?:bw|band ?width|bandbreite)$/, 'bandwidth'],
  [new RegExp(`^${VBW}$`), 'vbw'],
  [
    /^(?:avg|average|averaging|trace average|trace averaging)(?: ?(?:type|mode|kind|method|domain))$|^averaging$|^mittelungsart$/,
    'averaging',
  ],
  [
    new RegExp(
      `^(?:${COUNT})?(?:averages?|avgs?|sweeps|mittelungen|mittelwerte|spectra averaged|sweeps averaged|averaged (?:sweeps|spectra|traces)|ffts averaged|averages taken)$|^(?:average|avg|averaging|sweep|sweeps) ?(?:count|counts|number|factor|n|sweeps)$|^sweepanzahl$|^averages? (?:completed|done)$`,
    ),
    'averages',
  ],
  [/^(?:trace )?(?:detector|detektor|det)(?: ?(?:type|mode|function))?$/, 'detector'],
  [/^(?:trace|display|kurven?) ?(?:type|mode|modus)$|^trace$|^hold(?: mode)?$/, 'traceMode'],
  [
    /^(?:(?:rf|input|mech(?:anical)?|elec(?:trical)?|total|eingangs) ?)?(?:att|atten|attenuation|attenuator|dämpfung)$/,
    'attenuation',
  ],
  [
    /^(?:pre ?amp(?:lifier)?|vorverstärker|lna)(?: gain)?$|^(?:external|ext|total|system|amplifier)? ?(?:gain|verstärkung)$/,
    'gain',
  ],
  [/^(?:sweep ?time|swt|sweepzeit|acquisition time|acq time)$/, 'sweepTime'],
  [/^(?:ref(?:erence)?|referenz)(?: ?(?:level|lvl|pegel))?$|^rlev$/, 'referenceLevel'],
  [
    new RegExp(
      `^(?:start|begin|from|lower|first|low)(?: ?${FREQ})?$|^${FREQ} ?(?:start|begin|min|low|lower)$|^startfrequenz$|^f(?:min|start|1)$`,
    ),
    'start',
  ],
  [
    new RegExp(
      `^(?:stop|end|to|upper|last|high)(?: ?${FREQ})?$|^${FREQ} ?(?:stop|end|max|high|upper)$|^sto(?:p|pp)frequenz$|^endfrequenz$|^f(?:max|stop|2)$`,
    ),
    'stop',
  ],
  [new RegExp(`^(?:cent(?:er|re)|cf|mitten)(?: ?${FREQ})?$|^mittenfrequenz$|^${FREQ} ?(?:cent(?:er|re))$`), 'centre'],
  [new RegExp(`^(?:freq(?:uency)? )?span(?: ?${FREQ})?$|^spanne$`), 'span'],
  [
    new RegExp(
      `^(?:${FREQ} )?(?:step|steps? size|stepsize|step ?width|increment|spacing|resolution|schrittweite)(?: ${FREQ})?$|^bin ?(?:width|size|spacing)$|^(?:delta ?f|df|hz per bin|fft resolution|line spacing)$`,
    ),
    'step',
  ],
  [
    new RegExp(
      `^(?:${COUNT})?(?:sweep |trace |data |measurement |meas )?(?:points?|pts|values|bins|lines|samples|messpunkte|messwerte|punkte)(?: count| number)?$|^(?:trace|data) (?:length|size)$`,
    ),
    'points',
  ],
  [
    /^(?:y|level|amplitude|amp|ampl|trace|pegel|power|magnitude|vertical|ordinate)(?: ?(?:axis|scale|data))? ?(?:units?|einheit)$|^(?:trace data|unit|einheit|y axis|y achse)$/,
    'levelUnit',
  ],
  [
    new RegExp(`^(?:x|${FREQ}|horizontal|abscissa)(?: ?(?:axis|scale|data))? ?(?:units?|einheit)$|^x axis$`),
    'frequencyUnit',
  ],
  [/^(?:units|einheiten|column units)$/, 'units'],
  [
    /^(?:date|datum|time|zeit|uhrzeit|timestamp|time ?stamp|date (?:and )?time|date ?time|acquisition (?:start|time|date)|acquired|recorded|taken|taken at|measured|measurement (?:date|time)|created|capture time|start time|sweep start)$/,
    'date',
  ],
  [/^(?:trace|kurve|curve) ?(?:name|label|title)$/, 'traceName'],
  [/^(?:frequency|reference|ref|timebase|clock) ?accuracy$|^frequenzgenauigkeit$/, 'accuracy'],
  [
    /^(?:sampling|sample) ?(?:rate|frequency|interval|period)$|^(?:fs|abtastrate|record length|horizontal units?|horizontal scale|time scale|time per div|time base)$/,
    'sampleRate',
  ],
  [
    /^(?:default unit|trace count|scale (?:div|type)|antenna unit|impedance|input impedance|normalize|trace math.*|ref(?:erence)? (?:level )?offset|level offset|frequency offset|marker.*|trigger.*|model|serial.*|title|file|instrument|comment)$/,
    'known but of no use',
  ],
];

/** The key without brackets, case, underscores and capitals inside words: `rbwHz` and `RBW_(Hz)` both become `rbw hz`. */
export function plainKey(text: string): string {
  return text
    .replace(/([a-zµ])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .replace(/[_\-./\\,"'?|]+/g, ' ')
    .replace(/[:=\s]+/g, ' ')
    .trim();
}

/** The field a key in its plain spelling stands for, or null for one nobody knows. */
export function fieldOf(key: string): Field | null {
  if (key.length === 0 || key.length > 60) return null;
  for (const [pattern, field] of PATTERNS) if (pattern.test(key)) return field;
  return null;
}
