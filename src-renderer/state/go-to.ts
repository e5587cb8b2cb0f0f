import type { SourceEntry } from '../../src-main/api/contract.ts';
import { frequency, frequencyUnit } from './format.ts';
import { COMMANDS, MENUS, type MenuName } from '../../src-main/model/commands.ts';
import type { Command } from './keys.svelte.ts';
import type { SourceNames } from './source-names.ts';
import type { SpurRow } from './spur-rows.ts';

export type Destination = { readonly label: string; readonly more: string } & (
  | { readonly kind: 'spur'; readonly row: SpurRow }
  | { readonly kind: 'source'; readonly designator: string }
  | { readonly kind: 'frequency'; readonly frequencyHz: number }
  | { readonly kind: 'command'; readonly run: () => void }
);

const SCALE: Readonly<Record<string, number>> = { hz: 1, k: 1e3, khz: 1e3, m: 1e6, mhz: 1e6, g: 1e9, ghz: 1e9 };

/** `12.56 MHz`, `12,56MHz`, `450k`; a bare number is taken in the unit the axis shows. Null where it is no frequency. */
export function parseFrequency(text: string, axisUnitHz: number): number | null {
  const parts = /^\s*([0-9][0-9\s\u2009]*(?:[.,][0-9\s\u2009]*)?)\s*([a-z]*)\s*$/i.exec(text);
  if (parts === null) return null;
  const value = Number(parts[1]!.replace(/[\s\u2009]/g, '').replace(',', '.'));
  const unit = parts[2]!.toLowerCase();
  const scale = unit === '' ? axisUnitHz : SCALE[unit];
  return scale === undefined || !Number.isFinite(value) ? null : value * scale;
}

/** What can be done, menu by menu, as the go-to sheet shows it before anything is typed. */
export function menusOf(
  commands: readonly Command[],
): readonly { readonly menu: MenuName; readonly commands: readonly Command[] }[] {
  return MENUS.flatMap((menu) => {
    const own = COMMANDS.filter((entry) => entry.menu === menu).flatMap(
      ({ id }) => commands.find((command) => command.id === id) ?? [],
    );
    return own.length === 0 ? [] : [{ menu, commands: own }];
  });
}

/** Where a typed text may lead, best first. */
export function destinations(
  text: string,
  rows: readonly SpurRow[],
  sources: readonly SourceEntry[],
  names: SourceNames,
  whole: { readonly lowHz: number; readonly highHz: number },
  commands: readonly Command[] = [],
): readonly Destination[] {
  const needle = text.trim().toLowerCase();
  if (needle === '') return [];
  const found: Destination[] = [];
  const spur = (row: SpurRow) =>
    found.push({
      kind: 'spur',
      row,
      label: `Spur ${row.number}, ${row.word} ${row.tag}`,
      more: frequency(row.spur.frequencyHz, row.spur.frequencySigmaHz),
    });
  for (const row of rows) if (String(row.number) === needle || row.tag.toLowerCase() === needle) spur(row);
  for (const { source, letter } of sources) {
    if (source.designator.toLowerCase().includes(needle) || letter.toLowerCase() === needle) {
      const seen = rows.filter((row) => row.explanation.candidates.some((c) => c.source === source.designator)).length;
      found.push({
        kind: 'source',
        designator: source.designator,
        label: names.source(source.designator).name,
        more: `${seen} of its spurs seen`,
      });
    }
  }
  const hz = parseFrequency(text, frequencyUnit(whole.highHz).hz);
  if (hz !== null && hz >= whole.lowHz && hz <= whole.highHz) {
    found.push({ kind: 'frequency', frequencyHz: hz, label: frequency(hz, 1), more: 'frequency' });
  }
  // every word typed must begin a word of what the command does
  const words = needle.split(/\s+/);
  for (const { label, show, run, can, when } of commands) {
    const its = label.toLowerCase().split(/[\s,]+/);
    if (label !== '' && words.every((word) => its.some((part) => part.startsWith(word))))
      found.push({
        kind: 'command',
        run: () => (can?.() ?? true) && run(),
        label: label[0]!.toUpperCase() + label.slice(1),
        more: (can?.() ?? true) || when === undefined ? show.join(' ') : `when ${when}`,
      });
  }
  for (const row of rows) {
    if (found.length >= 12) break;
    const isThere = found.some((f) => f.kind === 'spur' && f.row === row);
    if (!isThere && `${row.word} ${row.tag}`.toLowerCase().includes(needle)) spur(row);
  }
  return found.slice(0, 12);
}
