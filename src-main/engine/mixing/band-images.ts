import type { Band } from '../../model/band.ts';
import type { Condition } from '../../model/condition.ts';
import { frequencyText } from './say-mixing.ts';

/** How one receive band puts frequencies somewhere else on the axis of its own captures. */
export interface BandImages {
  readonly band: string;
  /** True where the conditions say that the capture was taken through this band's receiver. */
  readonly stated: boolean;
  /** All places on the axis at which a frequency appears, other than itself. */
  readonly of: (hz: number) => readonly number[];
  /** How a frequency came to a place: `folded by the sampling at 40.0000 MHz`. */
  readonly howOf: (hz: number, axisHz: number) => string;
  /** All frequencies up to a limit that appear at a place on the axis. */
  readonly behind: (axisHz: number, highestHz: number) => readonly number[];
}

/** A span may reach this far, as a share of a zone, over the zone's edge. A choice of this tool: the analyser's last point. */
const EDGE = 0.01;

/**
 * The bands whose sampling or local oscillator may have made a capture's axis.
 *
 * Folding is a property of the receiver that took the capture, not of the port that an analyser looks at. So a band counts only if
 * - the conditions name it as the point or the instrument of the capture, or name no instrument at all; a capture of some other instrument is
 *   never folded; and
 * - the span fits: with a sample rate it lies in one Nyquist zone (zone z from z·fs/2 to (z+1)·fs/2; even zones run upwards, odd ones
 *   downwards), with a local oscillator alone it lies within what the band becomes after mixing, |f − LO|.
 * Bands with both mix first and sample then.
 */
export function bandImages(
  bands: readonly Band[],
  condition: Condition | null,
  spanLowHz: number,
  spanHighHz: number,
): BandImages[] {
  return bands.flatMap((band): BandImages[] => {
    const { sampleRateHz, localOscillatorHz } = band;
    if (sampleRateHz === null && localOscillatorHz === null) return [];
    const named = [condition?.point, condition?.instrument].some(
      (name) => typeof name === 'string' && name.trim().toLowerCase() === band.name.trim().toLowerCase(),
    );
    const byAnother =
      condition?.instrument !== null && condition?.instrument !== undefined && condition.instrument !== '';
    if (!named && byAnother) return [];
    if (!named && !fits(band, spanLowHz, spanHighHz)) return [];
    const zoneHz = sampleRateHz === null ? Infinity : sampleRateHz / 2;
    const zone = sampleRateHz === null ? 0 : Math.floor((spanLowHz + spanHighHz) / 2 / zoneHz);
    const isFolded = (hz: number): boolean => sampleRateHz !== null && Math.floor(hz / zoneHz) !== zone;
    const onAxis = (hz: number): number => {
      if (sampleRateHz === null) return hz;
      const from = Math.floor(hz / zoneHz);
      const into = hz - from * zoneHz;
      const base = from % 2 === 0 ? into : zoneHz - into;
      return zone * zoneHz + (zone % 2 === 0 ? base : zoneHz - base);
    };
    const mixedOf = (hz: number): number[] =>
      localOscillatorHz === null ? [hz] : [Math.abs(hz - localOscillatorHz), hz + localOscillatorHz];
    return [
      {
        band: band.name,
        stated: named,
        of: (hz) => {
          if (localOscillatorHz === null) return isFolded(hz) ? [onAxis(hz)] : [];
          return mixedOf(hz).map(onAxis);
        },
        howOf: (hz, axisHz) => {
          const mixed = mixedOf(hz).reduce((a, b) =>
            Math.abs(onAxis(b) - axisHz) < Math.abs(onAxis(a) - axisHz) ? b : a,
          );
          const parts = [
            ...(localOscillatorHz === null
              ? []
              : [`mixed to ${frequencyText(mixed)} by the oscillator at ${frequencyText(localOscillatorHz)}`]),
            ...(isFolded(mixed) ? [`folded by the sampling at ${frequencyText(sampleRateHz!)}`] : []),
          ];
          return parts.join(' and ');
        },
        behind: (axisHz, highestHz) => {
          const sampled: number[] = [];
          if (sampleRateHz === null) sampled.push(axisHz);
          else {
            const into = axisHz - zone * zoneHz;
            const base = zone % 2 === 0 ? into : zoneHz - into;
            const most = highestHz + (localOscillatorHz ?? 0);
            for (let from = 0; from * zoneHz <= most; from++)
              if (from !== zone || localOscillatorHz !== null)
                sampled.push(from * zoneHz + (from % 2 === 0 ? base : zoneHz - base));
          }
          if (localOscillatorHz === null) return sampled.filter((hz) => hz > 0 && hz <= highestHz);
          return sampled
            .flatMap((hz) => [localOscillatorHz + hz, localOscillatorHz - hz, hz - localOscillatorHz])
            .filter((hz) => hz > 0 && hz <= highestHz);
        },
      },
    ];
  });
}

function fits(
  { lowHz, highHz, sampleRateHz, localOscillatorHz }: Band,
  spanLowHz: number,
  spanHighHz: number,
): boolean {
  if (sampleRateHz !== null) {
    const zoneHz = sampleRateHz / 2;
    const zone = Math.floor((spanLowHz + spanHighHz) / 2 / zoneHz);
    return spanLowHz >= (zone - EDGE) * zoneHz && spanHighHz <= (zone + 1 + EDGE) * zoneHz;
  }
  const ends = [Math.abs(lowHz - localOscillatorHz!), Math.abs(highHz - localOscillatorHz!)];
  const from = lowHz <= localOscillatorHz! && highHz >= localOscillatorHz! ? 0 : Math.min(...ends);
  const to = Math.max(...ends);
  const slack = EDGE * (to - from);
  return spanLowHz >= from - slack && spanHighHz <= to + slack;
}
