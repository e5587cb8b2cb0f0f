import type { LineExplanation } from '../../model/attribution.ts';
import type { FreeLines } from './free-lines.ts';

/** Spurs that stand so close that one swept line may have made them: behind a few sweeps the top of a hump is rough and falls into peaks. */
export interface Hump {
  readonly centreHz: number;
  readonly sigmaHz: number;
  readonly widthHz: number;
  /** Indices of its spurs, ascending. */
  readonly members: readonly number[];
}

/** Peaks of one hump stand no further apart than this share of its due width, or so many line widths. Choices of this tool, found on simulated sweeps. */
const GAP_SHARE = 0.35;
const GAP_WIDTHS = 2.5;
/** A hump wider than this many times what is due is not grown further. */
const WIDEST = 1.5;
/** The centre of a hump is known to about a tenth of its width, as in attribution. */
const CENTRE_SHARE = 0.1;

/**
 * Joins the lines that may be a modulated source's into humps. How wide a hump is due to be depends on its frequency alone: its harmonic
 * number times the fundamental.
 *
 * @param share peak-to-peak modulation over frequency
 * @param source whose humps are meant: lines that nothing explains, or that only it or unregistered combs have been given
 */
export function humpsOf(
  lines: FreeLines,
  explanations: readonly LineExplanation[],
  source: string,
  share: number,
): Hump[] {
  const out: Hump[] = [];
  let members: number[] = [];
  let fromHz = 0;
  let toHz = 0;
  const close = (): void => {
    if (members.length === 0) return;
    const widthHz = Math.max(toHz - fromHz, lines.lineWidthHz);
    const only = members.length === 1 ? members[0]! : null;
    out.push({
      // a lone line keeps its own frequency
      centreHz: only === null ? (fromHz + toHz) / 2 : lines.frequencyHz[only]!,
      sigmaHz: only === null ? CENTRE_SHARE * widthHz : lines.sigmaHz[only]!,
      widthHz: only === null ? widthHz : Math.max(lines.spurs[only]!.widthHz, lines.lineWidthHz),
      members,
    });
    members = [];
  };
  for (const [i, spur] of lines.spurs.entries()) {
    const { cause, candidates } = explanations[i]!;
    const isOwn =
      cause === 'unexplained' ||
      (['source', 'ambiguous', 'shared', 'unknown-comb'].includes(cause) &&
        candidates.some((one) => one.source === source || one.source === null) &&
        (cause !== 'source' || candidates[0]!.source === source));
    if (!isOwn) continue;
    const hz = lines.frequencyHz[i]!;
    const [low, high] = [hz - spur.widthHz / 2, hz + spur.widthHz / 2];
    const gapHz = Math.max(GAP_WIDTHS * lines.lineWidthHz, GAP_SHARE * share * hz);
    if (members.length > 0 && (low - toHz > gapHz || high - fromHz > Math.max(WIDEST * share * hz, gapHz))) close();
    if (members.length === 0) fromHz = low;
    toHz = members.length === 0 ? high : Math.max(toHz, high);
    members.push(i);
  }
  close();
  return out;
}
