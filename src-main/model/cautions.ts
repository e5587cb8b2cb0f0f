import type { PointKind } from './measuring-point.ts';

/** The last word of every list: the tool knows hazards in general, not this bench. */
const DEFER =
  'These are general cautions. The rules of your site, the local electrical code and the responsible engineer or licensed electrician decide.';

// Typical limits and their sum over all frequencies: vendors' manuals and a public discussion; common practice for the order of work.
const ANALYSER_INPUT =
  'An analyser input stands a limited total power over all frequencies (often +30 dBm, +20 dBm with its preamplifier on) and often no more than 50 V DC: start with an external attenuator and the preamplifier off, then take them away.';
// ANSI/ESD S20.20-2021 (scope read); strap resistance common practice, no source.
const ESD =
  'Flight hardware: work under your ESD control plan (wrist strap, savers on connectors, no probe on flight pads without a procedure). Do not wear a strap while working on exposed mains or high voltage.';
// E = ½CV²: 100 µF at 400 V hold 8 J (computed); from 400 V to 60 V takes 1.9 time constants (computed).
const STORED_ENERGY =
  'Capacitors keep their charge after switching off (100 µF at 400 V hold 8 J): discharge through a resistor and measure before touching. Batteries have no off switch.';
const LIVE_CONVERTER =
  'Do not open or probe a live high-voltage converter without authority and a second person. Use a DC block and 10 to 20 dB of attenuation on converter nodes.';
// Earth current of a network's capacitors I = U·2πf·C: 12 µF at 230 V 50 Hz carry 0.87 A (computed).
const MAINS_LEAKAGE =
  'A mains network leads a large current to earth through its capacitors (12 µF at 230 V 50 Hz: 0.87 A): bond its protective earth first and take it off last; without it the case is live. A residual-current device will usually trip.';
// Manual of a network, page on its terminals: the stud is for RF only.
const RF_STUD = 'The RF bonding stud of a network is not a protective earth.';
// Application note of an instrument maker on conducted emission.
const TRANSIENT =
  'Switching a supply on or off through a network can destroy the analyser’s mixer: use a transient limiter, and disconnect the analyser while switching.';
const ISOLATION = 'An isolating transformer changes the earthing of class I equipment: have the arrangement checked.';
const RADIATE =
  'Do not transmit to test an antenna path: injected signals may need a licence, and some bands are protected.';

const BY_KIND: Readonly<Record<PointKind, readonly string[]>> = {
  'receiver-port': [ESD, ANALYSER_INPUT],
  'mains-network': [MAINS_LEAKAGE, RF_STUD, TRANSIENT, ISOLATION, ANALYSER_INPUT, STORED_ENERGY],
  'supply-line': [STORED_ENERGY, LIVE_CONVERTER, ANALYSER_INPUT, ESD],
  'current-probe': [STORED_ENERGY, LIVE_CONVERTER, ANALYSER_INPUT, ESD],
  'near-field-probe': [LIVE_CONVERTER, STORED_ENERGY, ESD, ANALYSER_INPUT],
  antenna: [ANALYSER_INPUT, RADIATE, ESD],
  other: [ANALYSER_INPUT, STORED_ENERGY, ESD],
};

/** What to mind before measuring at a point of this kind, the gravest first; the last entry defers to local rules and licensed practice. */
export function cautionsFor(kind: PointKind): readonly string[] {
  return [...BY_KIND[kind], DEFER];
}

/** The same for a measurement at points of several kinds: each caution once, those of the first kind first. Empty without a kind. */
export function cautionsForAll(kinds: readonly PointKind[]): readonly string[] {
  return kinds.length === 0 ? [] : [...new Set(kinds.flatMap((kind) => BY_KIND[kind])), DEFER];
}
