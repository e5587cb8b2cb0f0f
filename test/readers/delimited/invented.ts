import type { CaptureSettings } from '../../../src-main/model/capture.ts';

/** A small invented file, unlike any other here, and what a careful person would read from it. */
export interface InventedFile {
  readonly name: string;
  readonly text: string | Uint8Array;
  readonly traces?: number;
  readonly points?: number;
  readonly startHz?: number;
  readonly stopHz?: number;
  readonly firstLevel?: number;
  readonly lastLevel?: number;
  readonly unit?: string;
  readonly scale?: string;
  readonly settings?: Partial<CaptureSettings>;
  readonly labels?: readonly string[];
  /** Every one must be found in the warnings. */
  readonly warns?: readonly RegExp[];
  /** None of these may be found in the warnings. */
  readonly silent?: readonly RegExp[];
}

const N = 25;
/** `count` rows; frequency from `start` by `step`, levels about −90 with a saw-tooth of tenths. */
export function rows(
  row: (i: number, f: number, level: number) => string,
  start = 150_000,
  step = 10_000,
  count = N,
  end = '\n',
): string {
  return Array.from({ length: count }, (_, i) => row(i, start + i * step, -90 + (i % 7) / 2)).join(end) + end;
}
const comma = (x: number, digits: number): string => x.toFixed(digits).replace('.', ',');
const STOP = 150_000 + (N - 1) * 10_000;

export const INVENTED: readonly InventedFile[] = [
  {
    name: 'receiver export: semicolons, decimal commas, three cells a statement, a trailing semicolon',
    text:
      'Type;Receiver;\r\nDate;01.Mar 2031;\r\nCenter Freq;270000,000000;Hz;\r\nFreq Offset;0,000000;Hz;\r\nSpan;240000,000000;Hz;\r\nx-Axis;LIN;\r\nStart;150000,000000;Hz;\r\nStop;390000,000000;Hz;\r\n' +
      'Ref Level;80,000000;dBuV;\r\nLevel Offset;0,000000;dB;\r\nRf Att;10,000000;dB;\r\nRBW;9000,000000;Hz;\r\nVBW;30000,000000;Hz;\r\nSWT;0,500000;s;\r\nTrace Mode;AVERAGE;\r\nDetector;RMS;\r\nSweep Count;20;\r\nTrace 1:;;\r\nx-Unit;Hz;\r\ny-Unit;dBuV;\r\nValues;25;\r\n' +
      rows((_, f, l) => `${comma(f, 6)};${comma(l + 120, 4)};`, 150_000, 10_000, N, '\r\n'),
    points: N,
    startHz: 150_000,
    stopHz: STOP,
    firstLevel: 30,
    unit: 'dBµV',
    settings: {
      rbwHz: 9000,
      vbwHz: 30_000,
      averages: 20,
      detector: 'rms',
      attenuationDb: 10,
      sweepTimeS: 0.5,
      referenceLevel: 80,
      averaging: 'unknown',
      takenAt: '01.Mar 2031',
    },
    silent: [/points/, /start freq/],
  },
  {
    name: 'sections in brackets, key = value, tabs',
    text: `[Header]\nTitle=bench\nRBW=3 kHz\nAverages=64\nAveraging=power\n[Setup]\nDetector=sample\n[Data]\nFrequency (MHz)\tAmplitude (dBm)\n${rows((_, f, l) => `${f / 1e6}\t${l}`)}`,
    startHz: 150_000,
    stopHz: STOP,
    unit: 'dBm',
    settings: { rbwHz: 3000, averages: 64, averaging: 'power', detector: 'sample' },
  },
  {
    name: 'a preamble written as an object over several lines',
    text: `{\n  "rbwHz": 1000,\n  "average_count": 16,\n  "averaging": "rms",\n  "y_unit": "dBm",\n  "start": "150 kHz"\n}\n${rows((_, f, l) => `${f},${l}`)}`,
    unit: 'dBm',
    settings: { rbwHz: 1000, averages: 16, averaging: 'power' },
  },
  {
    name: 'a preamble written as an object on one comment line',
    text: `# {"rbw_khz": 10, "averages": 100, "detector": "rms", "unit": "dBm"}\n# freq_hz, level\n${rows((_, f, l) => `${f}, ${l}`)}`,
    unit: 'dBm',
    settings: { rbwHz: 10_000, averages: 100, detector: 'rms' },
  },
  {
    name: 'keys and values with nothing but blanks between, several on a comment line',
    text: `! RBW 10 kHz, VBW 30 kHz, 32 averages, RMS detector\n! f/kHz  P/dBm\n${rows((_, f, l) => `  ${f / 1e3}  ${l}`)}`,
    startHz: 150_000,
    unit: 'dBm',
    settings: { rbwHz: 10_000, vbwHz: 30_000, averages: 32, detector: 'rms' },
  },
  {
    name: 'pairs side by side parted by blanks only',
    text: `RBW=10kHz Video BW=30 kHz SWT=50ms Att=20dB\nFreq[Hz];Level[dBm]\n${rows((_, f, l) => `${f};${l}`)}`,
    unit: 'dBm',
    settings: { rbwHz: 10_000, vbwHz: 30_000, sweepTimeS: 0.05, attenuationDb: 20 },
  },
  {
    name: 'units behind every number',
    text: `Frequency,Level\n${rows((_, f, l) => `${f / 1e6} MHz,${l} dBm`)}`,
    startHz: 150_000,
    stopHz: STOP,
    unit: 'dBm',
  },
  {
    name: 'units behind every number that change from kHz to MHz on the way',
    text: `Freq;Level\n${rows((_, f, l) => (f < 200_000 ? `${f / 1e3} kHz;${l} dBµV` : `${f / 1e6} MHz;${l} dBµV`))}`,
    startHz: 150_000,
    stopHz: STOP,
    unit: 'dBµV',
  },
  {
    name: 'units in columns of their own',
    text: `Frequency,Unit,Level,Unit\n${rows((_, f, l) => `${f / 1e3},kHz,${l},dBm`)}`,
    startHz: 150_000,
    stopHz: STOP,
    unit: 'dBm',
    warns: [/words/],
  },
  {
    name: 'thousands separators that leave no doubt: points, with decimal commas',
    text: `Frequenz [Hz];Pegel [dBµV]\n${rows((_, f, l) => `${f.toLocaleString('de-DE')};${comma(l, 2)}`, 900_000, 10_000)}`,
    startHz: 900_000,
    stopHz: 900_000 + (N - 1) * 10_000,
    unit: 'dBµV',
  },
  {
    name: 'thousands separators that leave no doubt: quoted, with decimal points',
    text: `"Frequency (Hz)","Level (dBm)"\n${rows((_, f, l) => `"${f.toLocaleString('en-US')}","${l.toFixed(2)}"`, 900_000, 10_000)}`,
    startHz: 900_000,
    unit: 'dBm',
  },
  {
    name: 'blanks between thousands, and a typographic minus',
    text: `Fréquence (Hz);Niveau (dBm)\n${rows((_, f, l) => `${f.toLocaleString('en-US').replaceAll(',', '\u202f')};\u2212${comma(-l, 1)}`, 900_000, 10_000)}`,
    startHz: 900_000,
    firstLevel: -90,
    unit: 'dBm',
  },
  {
    name: 'decimal commas inside quotes, parted by commas',
    text: `"f (kHz)","Pegel (dBm)"\n${rows((_, f, l) => `"${comma(f / 1e3, 3)}","${comma(l, 2)}"`)}`,
    startHz: 150_000,
    firstLevel: -90,
    unit: 'dBm',
  },
  {
    name: 'two traces named A and B with settings of their own',
    text:
      `Trace A Detector,RMS\nTrace B Detector,Peak\nTrace A Mode,Average\nTrace B Mode,Max Hold\nAverage Type,Power\nAverage Count,50\nRBW,1 kHz,Auto\nFrequency (Hz),Trace A (dBm),Trace B (dBm)\n` +
      rows((_, f, l) => `${f},${l},${l + 10}`),
    traces: 2,
    labels: ['Trace A', 'Trace B'],
    unit: 'dBm',
    settings: { rbwHz: 1000, detector: 'rms', averaging: 'power', averages: 50 },
  },
  {
    name: 'column names that say what the trace is',
    text: `RBW: 9 kHz (6 dB)\nFrequency [MHz]\tMax Hold [dBµV]\tAverage [dBµV]\n${rows((_, f, l) => `${f / 1e6}\t${l + 130}\t${l + 120}`)}`,
    traces: 2,
    unit: 'dBµV',
    settings: { rbwHz: 9000, rbwShape: '6 dB', averaging: 'max-hold' },
    warns: [/\(max-hold\) is read from its name/],
  },
  {
    name: 'every level over its own frequency column',
    text: `Frequency A (Hz),Trace A (dBm),Frequency B (Hz),Trace B (dBm)\n${rows((_, f, l) => `${f},${l},${f + 5000},${l + 1}`)}`,
    traces: 2,
    startHz: 150_000,
    labels: ['Trace A', 'Trace B'],
  },
  {
    name: 'a phase, a limit and a margin beside the levels',
    text: `Frequency (Hz),Level (dBµV),Limit (dBµV),Margin (dB),Phase (deg)\n${rows((i, f, l) => `${f},${l + 120},60,${l},${i}`)}`,
    traces: 1,
    unit: 'dBµV',
    warns: [/Limit.*left out/, /Margin.*left out/, /Phase.*left out/],
  },
  {
    name: 'index, frequency and level without any name',
    text: rows((i, f, l) => `${i}\t${f}\t${l}`),
    traces: 1,
    startHz: 150_000,
    warns: [/no level unit/],
  },
  {
    name: 'levels before frequencies, both running one way, without any name',
    text: rows((i, f) => `${-60 - i * 0.5} ${f}`),
    startHz: 150_000,
    firstLevel: -60,
  },
  {
    name: 'settings behind the table',
    text: `Frequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${l}`)}\nRBW,3 kHz\nAverages,8\n`,
    settings: { rbwHz: 3000, averages: 8 },
  },
  {
    name: 'two sweeps, each with its own heading, RBW and name',
    text:
      `Detector,RMS\nTrace Name,lid on\nRBW,1 kHz\nFrequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${l}`)}\n` +
      `Trace Name,lid off\nRBW,3 kHz\nFrequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${l + 5}`)}`,
    traces: 2,
    labels: ['lid on, block 1', 'lid off, block 2'],
    settings: { rbwHz: 1000, detector: 'rms' },
  },
  {
    name: 'a band that goes on with another RBW is another trace',
    text: `RBW,200 Hz\n${rows((_, f, l) => `${f},${l}`, 9000, 1000)}\nRBW,9 kHz\n${rows((_, f, l) => `${f},${l}`, 150_000, 1000)}`,
    traces: 2,
    settings: { rbwHz: 200 },
  },
  {
    name: 'sweeps one after the other without a blank line',
    text: `Frequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${l}`)}${rows((_, f, l) => `${f},${l + 1}`)}`,
    traces: 2,
    points: N,
    warns: [/begin again at line 27/],
  },
  {
    name: 'remarks between rows that go on rising',
    text: `Frequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${l}`)}# second page\n${rows((_, f, l) => `${f},${l}`, STOP + 10_000)}`,
    traces: 1,
    points: 2 * N,
  },
  {
    name: 'start and stop over levels in a column, no points stated',
    text: `Start;150 kHz\nStop;390 kHz\nUnit;dBm\nTrace 1\n${rows((_, _f, l) => comma(l, 2))}`,
    points: N,
    startHz: 150_000,
    stopHz: STOP,
    unit: 'dBm',
    warns: [/computed/],
  },
  {
    name: 'start and step over a row number and a level',
    text: `Start Frequency (kHz): 150\nStep (kHz): 10\nLevel unit: dBm\nPoint,Level\n${rows((i, _f, l) => `${i + 1},${l}`)}`,
    points: N,
    startHz: 150_000,
    stopHz: STOP,
    unit: 'dBm',
  },
  {
    name: 'frequencies in MHz whose unit only the stated start and stop tell',
    text: `Start Frequency,150000\nStop Frequency,390000\nLevel Unit,dBm\n${rows((_, f, l) => `${f / 1e6},${l}`)}`,
    startHz: 150_000,
    stopHz: STOP,
    warns: [/in MHz/],
  },
  {
    name: 'frequencies without a unit that are hardly Hz',
    text: `Freq,Level (dBm)\n${rows((_, f, l) => `${f / 1e6},${l}`)}`.replace(/^/, 'RBW,1000\n'),
    startHz: 0.15,
    warns: [/check that it is not in kHz, MHz or GHz/, /wider than the whole axis/],
  },
  {
    name: 'a unit row and names in German, old code page for the micro sign',
    text: Uint8Array.from(
      `Frequenz;Pegel\r\nkHz;dB\xe6V\r\n${rows((_, f, l) => `${comma(f / 1e3, 1)};${comma(l + 120, 1)}`, 150_000, 10_000, N, '\r\n')}`,
      (c) => c.charCodeAt(0),
    ),
    startHz: 150_000,
    unit: 'dBµV',
  },
  {
    name: 'a micro sign that went through the wrong encoding twice',
    text: `Frequency (Hz),Level (dBÂµV)\n${rows((_, f, l) => `${f},${l + 120}`)}`,
    unit: 'dBµV',
  },
  {
    name: 'a unit nobody can read is unknown and said',
    text: `Frequency (Hz),Level (dB?V)\n${rows((_, f, l) => `${f},${l + 120}`)}`,
    unit: 'unknown',
    warns: [/“dB\?V” is no unit/],
  },
  {
    name: 'dB(µV/m) in brackets of its own',
    text: `Frequency (MHz),Level (dB(µV/m))\n${rows((_, f, l) => `${f / 1e6},${l + 120}`)}`,
    unit: 'dBµV/m',
  },
  {
    name: 'a stated linear unit over negative numbers',
    text: `Frequency (Hz),Level (V)\n${rows((_, f, l) => `${f},${l}`)}`,
    unit: 'unknown',
    scale: 'decibel',
    warns: [/says V, but most numbers are negative/],
  },
  {
    name: 'a stated decibel unit over linear power',
    text: `Frequency (Hz),Power (dBm)\n${rows((i, f) => `${f},${(3 + (i % 5)) * 1e-6}`)}`,
    unit: 'unknown',
    scale: 'power',
    warns: [/says dBm, but all numbers are positive and very small/],
  },
  {
    name: 'preamble and column disagree about the unit',
    text: `Y Unit,dBm\nFrequency (Hz),Level (dBµV)\n${rows((_, f, l) => `${f},${l + 107}`)}`,
    unit: 'dBµV',
    warns: [/says dBm, but its column/],
  },
  {
    name: 'a unit that only the reference level has',
    text: `Ref Level,-20 dBm\nFrequency (Hz),Level\n${rows((_, f, l) => `${f},${l}`)}`,
    unit: 'dBm',
    warns: [/taken from the reference level/],
  },
  {
    name: 'RBW stated twice with different values is unknown',
    text: `RBW,1 kHz\nRBW,3 kHz\nFrequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${l}`)}`,
    settings: { rbwHz: null },
    warns: [/RBW as 1000 Hz and 3000 Hz/],
  },
  {
    name: 'clear/write and a hundred averages contradict each other',
    text: `Trace Type,Clear Write\nAverage Count,100\nFrequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${l}`)}`,
    settings: { averages: null, averaging: 'unknown' },
    warns: [/single sweeps.*100 averages/],
  },
  {
    name: 'log averages under the usual names',
    text: `Trace Type,Trace Average\nAverage Type,Log-Pwr (Video)\nAverage|Hold Number,100\nFrequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${l}`)}`.replace(
      'Average|Hold Number',
      'Average Number',
    ),
    settings: { averages: 100, averaging: 'log' },
  },
  {
    name: 'averages switched off',
    text: `Average: Off\nFrequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${l}`)}`,
    settings: { averages: 1, averaging: 'none' },
  },
  {
    name: 'averages as done of wanted, and a noise bandwidth',
    text: `Averages: 64/64 (power)\nENBW: 1.5 Hz\nFrequency (Hz)\tPSD (V²/Hz)\n${rows((i, f) => `${f}\t${(1 + (i % 3)) * 1e-12}`)}`,
    settings: { averages: 64, averaging: 'power', rbwHz: 1.5, rbwShape: 'noise' },
    unit: 'V²/Hz',
    scale: 'power',
  },
  {
    name: 'amplitude density in nanovolt per root hertz',
    text: `Frequency (Hz),Noise (nV/√Hz)\n${rows((i, f) => `${f},${1 + (i % 3)}`)}`,
    unit: 'nV/√Hz',
    scale: 'amplitude',
  },
  {
    name: 'a separator statement for spreadsheets in the first line',
    text: `sep=;\nFrequency (Hz);Level (dBm)\n${rows((_, f, l) => `${f};${l}`)}`,
    unit: 'dBm',
    startHz: 150_000,
  },
  {
    name: 'a leading delimiter in every row',
    text: `,Frequency (Hz),Level (dBm)\n${rows((_, f, l) => `,${f},${l}`)}`,
    traces: 1,
    unit: 'dBm',
    startHz: 150_000,
  },
  {
    name: 'a line of markers, and settings in quotes',
    text: `"RBW","10 kHz"\n"Marker 1: 200 kHz, -87.5 dBm"\n"Frequency (Hz)","Level (dBm)"\n${rows((_, f, l) => `${f},${l}`)}`,
    settings: { rbwHz: 10_000 },
    silent: [/Marker/],
  },
  {
    name: 'a block header glued to the first key, counting more bytes than there are',
    text: `#6999999RBW,3000\nFrequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${l}`)}`,
    settings: { rbwHz: 3000 },
    warns: [/promising 999999 bytes/],
  },
  {
    name: 'the last line lost its end: digits may be missing',
    text: `Frequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${(l - 0.25).toFixed(4)}`)}400000,-8`,
    points: N,
    lastLevel: -88.75,
    warns: [/line 27.*cut off|Line 27.*cut off/],
  },
  {
    name: 'words for no value, and instrument marks for it',
    text: `Frequency (Hz),Level (dBm)\n${rows((i, f, l) => `${f},${['---', '9.91E+37', '1.#QNAN', '#N/A', '', '-1000'][i] ?? l}`)}`,
    warns: [/6 of 25 points have no level/],
  },
  {
    name: 'downwards, in GHz',
    text: `Frequency (GHz),Level (dBm)\n${rows((i, _f, l) => `${(2.4 - i * 0.0001).toFixed(4)},${l}`)}`,
    startHz: 2_397_600_000,
    stopHz: 2_400_000_000,
    lastLevel: -90,
    warns: [/turned round/],
  },
  {
    name: 'frequencies with a decimal part in MHz come out without binary dust',
    text: `Frequency (MHz),Level (dBm)\n${rows((i, _f, l) => `${(100.1 + i * 0.1).toFixed(1)},${l}`)}`,
    startHz: 100_100_000,
    stopHz: 102_500_000,
  },
  {
    name: 'old line ends of one CR, tabs and a byte-order mark',
    text:
      '\ufeff' + `RBW\t3000\rFrequency (Hz)\tLevel (dBm)\r${rows((_, f, l) => `${f}\t${l}`, 150_000, 10_000, N, '\r')}`,
    settings: { rbwHz: 3000 },
    unit: 'dBm',
    points: N,
  },
  {
    name: 'short decimal integers only, three named columns',
    text: `Frequency,Trace 1,Trace 2\n${rows((i, f) => `${f},${40 + (i % 3)},${20 + (i % 4)}`)}`,
    traces: 2,
  },
  {
    name: 'a date and a time of day in columns before',
    text: `Date,Time,Frequency (Hz),Level (dBm)\n${rows((_, f, l) => `2031-03-01,12:00:00,${f},${l}`)}`,
    traces: 1,
    startHz: 150_000,
    unit: 'dBm',
  },
  {
    name: 'accuracy of the frequency axis in parts per million',
    text: `Frequency Accuracy,±0.5 ppm\nFrequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${l}`)}`,
    settings: { frequencyAccuracyPpm: 0.5 },
  },
  {
    name: 'all levels on one line under start and stop',
    text: `Start,150 kHz\nStop,390 kHz\nUnit,dBm\n${rows((_, _f, l) => `${l}`, 0, 0, N, ',')}\n`,
    points: N,
    startHz: 150_000,
    stopHz: STOP,
    unit: 'dBm',
  },
  {
    name: 'one line of frequencies and one of levels, each with its name',
    text: `RBW,1 kHz\nFrequency (kHz),${rows((_, f) => `${f / 1e3}`, 150_000, 10_000, N, ',')}\nLevel (dBm),${rows((_, _f, l) => `${l}`, 0, 0, N, ',')}\n`,
    points: N,
    startHz: 150_000,
    stopHz: STOP,
    firstLevel: -90,
    unit: 'dBm',
    settings: { rbwHz: 1000 },
  },
  {
    name: 'pairs in brackets, a line each',
    text: rows((_, f, l) => `[${f}, ${l}],`),
    points: N,
    startHz: 150_000,
  },
  {
    name: 'names run together with their units',
    text: `freq_mhz,level_dbm\n${rows((_, f, l) => `${f / 1e6},${l}`)}`,
    startHz: 150_000,
    unit: 'dBm',
  },
  {
    name: 'trace modes in brackets behind the names',
    text: `Frequency,Trace1 (MAXHOLD),Trace2 (AVG)\nHz,dBm,dBm\n${rows((_, f, l) => `${f},${l},${l - 3}`)}`,
    traces: 2,
    labels: ['Trace1', 'Trace2'],
    settings: { averaging: 'max-hold' },
  },
  {
    name: 'averages switched on and counted in another line',
    text: `Average,On\nAverages,10\nAveraging Method,Video\nFrequency (Hz),Level (dBm)\n${rows((_, f, l) => `${f},${l}`)}`,
    settings: { averages: 10, averaging: 'log' },
  },
  {
    name: 'columns named after detectors beside another detector in the preamble',
    text: `Detector;Peak\nFrequency (MHz);QP (dBµV);AV (dBµV)\n${rows((_, f, l) => `${comma(f / 1e6, 3)};${comma(l + 125, 2)};${comma(l + 120, 2)}`)}`,
    traces: 2,
    settings: { detector: 'quasi-peak' },
    warns: [/QP.*although the file says positive-peak/, /AV.*although the file says positive-peak/],
  },
  {
    name: 'an RBW with points between thousands, and one that is no number',
    text: `RBW;1.000.000 Hz\nVBW;Auto\nFrequenz (Hz);Pegel (dBm)\n${rows((_, f, l) => `${f};${comma(l, 2)}`)}`,
    settings: { rbwHz: 1_000_000, vbwHz: null },
    warns: [/“Auto” is no number for the VBW/],
  },
];

/** Files that must be refused: text, and what `place` and `found` must say. */
export const REFUSED: readonly { name: string; text: string; place?: RegExp; found: RegExp }[] = [
  {
    name: 'decimal commas parted by commas',
    text: rows((i, f, l) => `${f},5,${Math.floor(l)},${i % 10}`),
    place: /line 1/,
    found: /decimal commas/,
  },
  {
    name: 'a thousands separator that may be a decimal comma',
    text: `Frequency (Hz)\tLevel (dBm)\n${rows((_, f, l) => `${f.toLocaleString('en-US')}\t${Math.round(l)}`, 150_000, 1000)}`,
    place: /line 2/,
    found: /decimals or thousands/,
  },
  {
    name: 'a damaged number in the middle',
    text: `Frequency (Hz),Level (dBm)\n${rows((i, f, l) => `${f},${i === 12 ? '-9x.5' : l}`)}`,
    place: /line 14, column 2/,
    found: /-9x\.5/,
  },
  {
    name: 'a row with a cell too many in the middle',
    text: `Frequency (Hz),Level (dBm)\n${rows((i, f, l) => `${f},${l}${i === 12 ? ',7' : ''}`)}`,
    place: /line 14/,
    found: /3 numbers/,
  },
  {
    name: 'two level units in one column',
    text: `f;L\n${rows((i, f, l) => `${f} Hz;${l} ${i === 9 ? 'dBµV' : 'dBm'}`)}`,
    place: /line 11, column 2/,
    found: /dBµV.*dBm/,
  },
  {
    name: 'an axis that begins below zero and has no name',
    text: rows((i) => `${-1e-3 + i * 1e-4},${i % 5}`),
    found: /below zero/,
  },
  {
    name: 'levels alone with a number of points that is not theirs',
    text: `Start,1 MHz\nStop,2 MHz\nPoints,1001\n${rows((_, _f, l) => String(l))}`,
    found: /25 levels/,
  },
  {
    name: 'a stop frequency below the start',
    text: `Start,2 MHz\nStop,1 MHz\n${rows((_, _f, l) => String(l))}`,
    found: /levels alone/,
  },
  {
    name: 'every trace blank',
    text: `Frequency (Hz),A (dBm),B (dBm)\n${rows((_, f) => `${f},-2147.48,-893.01`)}`,
    found: /no level in any column/,
  },
  { name: 'one row only', text: 'Frequency (Hz),Level (dBm)\n1000,-80\n', found: /no table/ },
  {
    name: 'a list of sources dropped as a capture',
    text: 'designator,kind,nominal_hz,tolerance_ppm\nU1,converter,300000,50000\nU2,clock,10000000,20\n',
    found: /list of sources/,
  },
  {
    name: 'a list of bands dropped as a capture',
    text: 'name,low_hz,high_hz\nHF,3000000,30000000\nVHF,30000000,300000000\n',
    found: /list of bands/,
  },
];

/** Texts that are time records: rate in samples a second, samples, and the channels with their units. */
export const TIME_RECORDS: readonly {
  name: string;
  text: string;
  rateHz: number;
  samples: number;
  channels: string[];
}[] = [
  {
    name: 'a time column beside a channel with a number',
    text: `Time;CH1\n${rows((i) => `${comma(i * 0.5, 1)};${comma(i % 3, 1)}`)}`,
    rateHz: 2,
    samples: 25,
    channels: ['CH1 unknown'],
  },
  {
    name: 'time and volts without units',
    text: `Time,Voltage\n${rows((i) => `${i * 0.5},${i % 3}`)}`,
    rateHz: 2,
    samples: 25,
    channels: ['Voltage unknown'],
  },
  {
    name: 'seconds in the first column, spelled out',
    text: `Seconds;Channel 1\n${rows((i) => `${i},${i % 3}`).replaceAll(',', ';')}`,
    rateHz: 1,
    samples: 25,
    channels: ['Channel 1 unknown'],
  },
  {
    name: 'a sampling rate in the preamble, one channel behind a row number',
    text: `Sample Rate,1000000\n${rows((i) => `${i},${(i % 3) / 10}`)}`,
    rateHz: 1_000_000,
    samples: 25,
    channels: ['column 2 unknown'],
  },
  {
    name: 'a sampling rate with a unit, one column alone',
    text: `Sample Rate: 2.5 MS/s\nVoltage (mV)\n${rows((i) => `${(i % 7) / 10}`)}`,
    rateHz: 2_500_000,
    samples: 25,
    channels: ['Voltage V'],
  },
  {
    name: 'a sample interval in the preamble',
    text: `Sample Interval (us);4\nA (V);B (V)\n${rows((i) => `${(i % 7) / 10};${(i % 3) / 10}`)}`,
    rateHz: 250_000,
    samples: 25,
    channels: ['A V', 'B V'],
  },
  {
    name: 'start and increment in the header',
    text: `X,CH3,Start,Increment\nSequence,Volt,-1e-3,2e-6\n${rows((i) => `${i},${(i % 7) / 10}`)}`,
    rateHz: 500_000,
    samples: 25,
    channels: ['CH3 V'],
  },
  {
    name: 'a title that says frequency over milliseconds',
    text: `Frequency,Probe\n(ms),(V)\n${rows((i) => `${i},${i % 2}`)}`,
    rateHz: 1000,
    samples: 25,
    channels: ['Probe V'],
  },
  {
    name: 'settings in the left columns of the first rows',
    text: rows(
      (i) =>
        `${['Source,CH2', 'Vertical Units,V', 'Horizontal Units,s'][i] ?? ','},,${(i * 1e-6).toFixed(6)},${(i % 4) / 8}`,
    ),
    rateHz: 1_000_000,
    samples: 25,
    channels: ['CH2 V'],
  },
];
