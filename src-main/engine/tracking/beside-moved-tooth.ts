import type { View } from './whereabouts.ts';

/**
 * A line that nobody owns but that cannot be told apart from a tooth of a family that has moved.
 *
 * Two lines closer than the resolution make one spur between them, which then fits neither family. When the family moves, that
 * spur is gone without anything having been cured. The name of such a family, or null; only lines without an owner are asked.
 */
export function besideMovedTooth(view: View, i: number): string | null {
  const { lines } = view.own;
  if (lines.owners[i]!.length > 0) return null;
  const at = lines.frequencyHz[i]!;
  for (const [g, group] of lines.groups.entries()) {
    const move = view.moves[g];
    if (move === null || move === undefined) continue;
    const tooth = Math.max(1, Math.round(at / group.fundamentalHz)) * group.fundamentalHz;
    if (Math.abs(tooth - at) > lines.resolutionHz[i]!) continue;
    if (Math.abs(move.ratio - 1) * at > lines.resolutionHz[i]!) return group.name ?? 'an unregistered comb';
  }
  return null;
}
