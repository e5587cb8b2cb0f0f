/** What stands behind a `?` beside a figure. */
export interface HelpText {
  /** Ends the button's name for those who hear it: `What is …?` */
  readonly about: string;
  /** What it means and how it was computed: two to four sentences. */
  readonly text: string;
  /** Where the method is from, as the engine's own comments give it: a published source by name, common practice, or a choice of this tool. */
  readonly source: string;
}

const OWN = 'a choice of this tool';
const SIGMA_NOTE = 'Every ± here is one standard deviation.';

/** One entry for each kind of figure or column, used by every place that shows it. */
export const HELP_TEXTS = {
  'source-runs-at': {
    about: 'the measured fundamental',
    text: 'The fundamental fitted to all lines of the source’s comb together: weighted least squares of frequency against harmonic number. The ± is one standard deviation; it grows where the lines scatter more than their own doubts say, and never shrinks. Without a capture the nominal frequency stands here.',
    source: 'weighted least squares, common practice',
  },
  'source-tolerance': {
    about: 'the place in the tolerance',
    text: 'Where the measured fundamental lies between the two ends of the stated tolerance. The mark is as wide as three standard deviations of the fundamental to each side.',
    source: 'the register’s own tolerance; three standard deviations, common practice',
  },
  'source-teeth': {
    about: 'teeth seen and expected',
    text: 'Seen: harmonics at which a line was found. Expected: harmonics inside the span of the capture, found or not. Few of many may still be a comb: the chance counts that, with the whole search.',
    source: 'binomial tail, Hoeffding 1956',
  },
  frequency: {
    about: 'the frequency',
    text: 'The centre of the resolution filter’s shape, fitted to the points around the peak, so it is finer than the spacing. Where the shape does not apply (sparse points, humps, ends of the trace) it is the peak point, or the centre of power.',
    source: 'weighted least squares (Gauss-Newton), common practice',
  },
  'frequency-doubt': {
    about: 'the doubt of the frequency',
    text: `${SIGMA_NOTE} It holds the noise that neighbouring points share, the error of the filter’s shape, and what lines nearby may do. A common error of the frequency axis is not in it.`,
    source: 'covariance HC2, MacKinnon and White 1985, from memory',
  },
  level: {
    about: 'the level',
    text: 'The power of the line itself: the noise under it is taken off, by the same fit that gives the frequency. The ± is one standard deviation of the line and, where a calibration chain states one, of the chain, added in quadrature.',
    source: 'the exact law of averaged decibels or held sweeps of a line in noise; quadrature as in JCGM 100:2008',
  },
  'over-floor': {
    about: 'the height over the floor',
    text: 'Peak over the local mean noise power in the same bandwidth. The floor is a running median of what is no line, brought from the median to the mean by the statistics of the averages.',
    source: 'chi-square statistics of averaged powers; twicing, Tukey 1977, from memory',
  },
  'spur-margin': {
    about: 'the margin of the best estimate',
    text: 'What the band allows, less the level: positive is clear of it, negative is over it. The doubt is not counted here; the verdict on Sign-off counts it against the build.',
    source: 'the band’s own allowance; a difference',
  },
  floor: {
    about: 'the floor',
    text: 'Local mean noise power in the capture’s own bandwidth: a running median of the points that are no line, brought to the mean. Its ± is one standard deviation.',
    source: 'chi-square statistics of averaged powers; twicing, Tukey 1977, from memory',
  },
  width: {
    about: 'the width',
    text: 'Width at half power as measured: for an unresolved line about the resolution bandwidth. What is much wider than a line of this trace is called a hump, and its level is the power of the whole stretch when states are compared.',
    source: `half-power width, common practice; where a hump begins, ${OWN}`,
  },
  'track-status': {
    about: 'the status',
    text: 'Weaker or stronger: the change is beyond what noise and set-up do, at a rate of 0.27 % false changes. Cleared: not seen after, and a drop of at least 6 dB proven (or any, where the limit is below what the band allows). Hidden: the after capture could not have shown it; uncovered: it did not reach there. “Not seen” alone is never cleared.',
    source: `95 % limits; 0.27 % and 6 dB, ${OWN} (three standard deviations, common practice)`,
  },
  'track-before': {
    about: 'the level before',
    text: 'The line’s level in the before capture; with several files of a side, their mean power. Both sides are brought to one unit first, or not compared. The ± is one standard deviation of the line alone.',
    source: 'unit conversion in 50 Ω, arithmetic',
  },
  'track-after': {
    about: 'the level after, or the limit',
    text: 'The level in the after capture where the line was found again. With ≤ it was not: the figure is the most that it can be there, with 95 % confidence. A point below the mean noise counts as the mean, so that a lucky dip proves nothing.',
    source:
      'non-central chi-square, Kay, Detection Theory; power-constrained limit, Cowan, Cranmer, Gross and Vitells 2011',
  },
  'track-change': {
    about: 'the change',
    text: 'After minus before; where the line was not seen again, the drop that is proven. The ± is one standard deviation of the two lines and of the set-up (1 dB, or from re-rigged repeats). The calibration chain’s doubt is in it only where the two sides went through unlike chains: of one and the same it cancels.',
    source: 'quadrature, common practice; 1 dB of set-up: common practice, no source',
  },
  'track-ran': {
    about: 'the evidence that it ran',
    text: 'Is there evidence that the line’s source ran in the later capture? Shown: other lines that it alone explains stand there. Stated: the conditions of the capture name it as on. Unknown: a line that is gone may only have been switched off.',
    source: 'common practice',
  },
  'grid-cell': {
    about: 'a cell',
    text: 'The level of one line in one state, held against the nearest earlier measured state on its branch. ≤ is a 95 % upper limit where it was not seen and a drop is proven; ? is the same where none is. An empty cell: nothing alike was measured there.',
    source: 'the limits of the comparison: non-central chi-square, Kay, Detection Theory',
  },
  found: {
    about: 'what was found',
    text: 'The level of the line that comes nearest to what is allowed or exceeds it most; without one, the weakest line that could have been missed. For a count of channels: the best estimate of the clean ones.',
    source: 'the capture’s own lines and floor; 95 % detection, Kay, Detection Theory',
  },
  required: {
    about: 'what is required',
    text: 'What the band or the limit line allows at the place that decided, brought to the capture’s own unit and bandwidth. An integration time lowers the floor it counts from by 5·log10(B·t) dB. For channels: how many must be clean, a share rounded up.',
    source: 'the requirement as entered; radiometer equation as in ITU-R RA.769',
  },
  'verdict-margin': {
    about: 'the margin',
    text: 'To spare (positive) or short (negative), with the doubt counted against the build: the bound at 95 % one-sided confidence stands against what is required, not the best estimate. In the doubt are the line’s noise, the set-up (1 dB) and, for absolute limits, the instrument (1.5 dB).',
    source: `95 % one-sided as in the comparison; 1 dB: common practice, no source; 1.5 dB: ${OWN}, from a published test report`,
  },
  'decided-by': {
    about: 'what decided',
    text: 'The line, the place or the lack of evidence on which the verdict rests: first a line that certainly exceeds, then whatever leaves a part of the band not shown. Nothing holds by default.',
    source: OWN,
  },
  coverage: {
    about: 'what was measured',
    text: 'The share of the band that the captures of one point, mode and temperature span together, and how many there are. A hatched cell is required and not whole. Holes inside a capture, and captures that are not sensitive enough, are for the verdict to find.',
    source: 'the captures’ own spans; the requirements as entered',
  },
  'clean-channels': {
    about: 'a clean channel',
    text: 'Clean: shown so with the doubt counted against the build. Spoiled: a line certainly exceeds what is allowed there. The rest is not known: not covered, not sensitive enough, hidden, or within the doubt. A line is felt as far as the channel’s filter leaks.',
    source: 'window responses of Harris 1978, and D’Antona and Ferrero 2006',
  },
  'lost-channels': {
    about: 'a lost channel',
    text: 'A channel in which a line may stand at the worst, anywhere within tolerance, drift and half the spread of its source, however weak. The search tries the settings that the register allows; the gap is how far the best plan may be from the best possible: (least loss − lower bound) / least loss.',
    source: 'branch and bound, common practice; the worst case adds all ranges up',
  },
  'plan-own-cost': {
    about: 'what a source costs',
    text: 'Alone: channels lost to this source and no other; they come back where it is silenced. Shared: lost to it and to others too. Both count where a line may stand at the worst, not what a capture showed.',
    source: 'counting on the channel grid; no published method',
  },
  'plan-half-width': {
    about: 'the frequency and its range',
    text: 'The nominal frequency, and half the range it may lie in: tolerance, drift over the temperature range and half the deliberate spread, added up, since nobody knows which of them hide in which. A locked source has the range of the clock at the end of its chain.',
    source: 'worst case, common practice',
  },
  'blurs-from': {
    about: 'running into itself',
    text: 'From this harmonic on the ranges of neighbouring harmonics meet, so the source fills everything above: n ≥ (1 − δ)/(2δ), δ half its relative range. Moving the frequency does not help there; a lock does.',
    source: 'arithmetic; the exact form of the usual n ≥ 1/(2δ)',
  },
  'plan-loudest': {
    about: 'the loudest line in a band',
    text: 'The strongest line of this source that the latest capture shows inside a band, ± one standard deviation. It is of today’s frequency: levels at another one are not predicted.',
    source: 'the capture’s own lines',
  },
  robustness: {
    about: 'the random draws',
    text: 'Each source at the end of a chain of locks is drawn evenly from its range, those it clocks along with it, and the lost channels are counted. Nine of ten draws lie between the 5 % and the 95 % figure; no draw loses more than the worst case.',
    source: 'Monte Carlo, common practice',
  },
  'lost-locks': {
    about: 'a lost lock',
    text: 'What the plan costs where one lock fails: the source then runs freely about the same frequency with its own tolerance, and those it clocks go along. The dearest first.',
    source: 'as published converters behave once their clock is missing',
  },
  'in-step': {
    about: 'adding in step',
    text: 'Two sources on one clock in the ratio p : q have lines together at the multiples of p times the second. In step two equal lines add to 20·log10(2) = 6 dB. A delay by half a period of the common frequency sets every odd one against its partner.',
    source: 'arithmetic; cancelling by interleaving, from memory',
  },
  beats: {
    about: 'a beat',
    text: 'Products |m·f1 ± k·f2| of two sources that run freely of each other, m and k up to 3, where they may fall into a band. They are counted nowhere as lost: it takes something that mixes the two.',
    source: `arithmetic; up to the third harmonic, ${OWN}`,
  },
  'calibration-doubt': {
    about: 'the doubt of a table',
    text: 'One standard deviation of the table’s values, interpolated as the values are: linear in the logarithm of frequency, and never beyond the rows. The doubts of a chain’s tables are added in quadrature; one that states none adds none, and it is said.',
    source: 'JCGM 100:2008; 47 CFR 18.307 interpolates limits in the same way',
  },
  'known-tone': {
    about: 'the check by a known tone',
    text: 'A tone of known level is fed into the chain’s far end, and its reading through the chain is held against it. They agree within two standard deviations of tone, line and chain together. That shows a wrong table or a wrong order; it is no calibration.',
    source: 'coverage factor 2, JCGM 100:2008; common practice',
  },
  'packet-revision': {
    about: 'a revision',
    text: 'A build state set down for the review: from then on the state, what came before it and their captures are read-only. Revisions count through the whole register. Every figure of a packet is computed anew from its captures when it is verified.',
    source: 'SHA-256 of each original file; configuration control, common practice',
  },
  'recheck-settings': {
    about: 'the frozen settings',
    text: 'What the baseline capture was taken with. A repeat counts as the same measurement only where its settings are these; each that differs is named, and then nothing is said to hold by it.',
    source: 'common practice',
  },
  'recheck-finding': {
    about: 'a finding',
    text: 'Held, weaker, stronger and new are as in a comparison of two states, at the same false-change rate. Drift: the line moved by more than three times the doubt of its shift. Untested: the repeat cannot tell, or there is none; that is never a pass.',
    source: 'three standard deviations, 99.7 % of Gaussian errors: common practice, no source',
  },
  rbw: {
    about: 'the RBW',
    text: 'Noise bandwidth of one bin: the window’s equivalent noise bandwidth × sampling rate / samples under the window. Wider bins collect more noise; the height of a line does not change. Without a wish it is as fine as leaves 64 averages, fewer of a short record.',
    source: 'Harris 1978; Heinzel, Rüdiger and Schilling 2002',
  },
  'effective-averages': {
    about: 'the independent averages',
    text: 'What the overlapping segments are worth as independent ones, K / (1 + 2·Σ(1 − j/K)·ρ_j), ρ_j the correlation of segments j steps apart. Fewer averages make the floor scatter more, which the threshold takes into account.',
    source: 'Welch, IEEE Trans. Audio Electroacoust. 15 (1967) 70–73',
  },
  overlap: {
    about: 'the overlap',
    text: 'The share of samples that neighbouring segments have in common. A window weighs its edges little, so overlapping segments use the record better; beyond some share they only repeat each other, which the independent averages show.',
    source: 'Welch 1967',
  },
  'noise-statistic': {
    about: 'the statistic',
    text: 'Chi-square: the power of averaged noise with a known number of averages. Robust spread: the trace’s own scatter, taken where the averages are unknown or the trace is not an average of power.',
    source: `law of averaged noise power, common practice; when the trace’s own scatter is taken, ${OWN}`,
  },
  'false-alarms': {
    about: 'a false alarm',
    text: 'The number of noise-only points expected over the threshold in the whole capture. A setting fixes it; the threshold follows from the statistic.',
    source: `tail of the noise’s law, common practice; how many are allowed, ${OWN}`,
  },
  'weakest-line': {
    about: 'the weakest detectable line',
    text: 'A line this high over the floor is found with probability 0.95. What is weaker may be there unseen.',
    source: `non-central chi-square, common practice; 0.95, ${OWN}`,
  },
  'floor-doubt': {
    about: 'the doubt of the floor',
    text: 'One standard deviation of the mean noise power at a point. The grey band in the plot is twice that to either side.',
    source: 'scatter of a running median of noise, common practice',
  },
  chance: {
    about: 'chance',
    text: 'How often a comb at least as well supported would appear in this capture if this source were not running, with the search over fundamentals, harmonics and register entries counted in. It is a p-value. It is not the probability of being right.',
    source: 'binomial tail, Hoeffding 1956',
  },
  'other-captures': {
    about: 'what other captures say',
    text: 'The same place in captures with all off, with the input terminated, with more attenuation, or with some sources off. A level counts as the same within twice its doubt and the set-up’s. What is not seen counts as absent only where the other capture would have shown it.',
    source: 'two standard deviations, 95 % of Gaussian errors: common practice, no source',
  },
  'under-threshold': {
    about: 'what lies under the threshold',
    text: 'What is left of the trace at all harmonics of a source where no line was found, stacked: a mean line power over the floor, or the most it can be with 95 % confidence. A longer integration will show what one sweep hides.',
    source: 'mean weighted by inverse variance, limit from the non-central chi-square: common practice',
  },
  'fix-order': {
    about: 'the order',
    text: 'Filled: channels that come back if this source alone is silenced. Open: channels it spoils together with others, which do not. Ranked by what comes back, weighted by the bands.',
    source: OWN,
  },
  counted: {
    about: 'counted here',
    text: 'A channel is lost where a line may stand, however weak: n × f, anywhere within tolerance, drift over the temperature range and half the deliberate spread, also where it folds or converts into the band. Harmonics are followed to the top of the highest band unless the source states a highest one. “Today as measured” takes the fundamental that the latest capture shows, ± three standard deviations, for what runs today; any other setting keeps its stated tolerance. Levels are not predicted: the trapezoid’s envelope holds at the switching node and not at the receiver.',
    source: 'arithmetic of harmonics; three standard deviations, common practice',
  },
} as const satisfies Readonly<Record<string, HelpText>>;

export type HelpKey = keyof typeof HELP_TEXTS;
