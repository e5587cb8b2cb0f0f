import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import * as v from 'valibot';
import { InputError } from '../../model/input-problem.ts';

const text = v.string();
const names = v.array(text);
const temperature = v.object({ lowC: v.number(), highC: v.number() });

/** What `wren.json` beside the demonstration's tables and captures says of the build. States are named, parents first. */
const schema = v.object({
  title: text,
  points: v.array(
    v.object({
      name: text,
      kind: v.picklist([
        'receiver-port',
        'mains-network',
        'supply-line',
        'current-probe',
        'near-field-probe',
        'antenna',
        'other',
      ]),
      where: text,
      coupling: text,
      conductors: text,
      orientation: text,
      heightM: v.nullable(v.number()),
      bonding: text,
      notes: text,
    }),
  ),
  states: v.array(
    v.object({
      name: text,
      description: text,
      parent: v.nullable(text),
      at: text,
      configuration: v.array(v.object({ item: text, serial: text, revision: text, detail: text })),
    }),
  ),
  fixes: v.array(
    v.object({
      from: text,
      to: text,
      change: text,
      sources: names,
      by: text,
      at: text,
      undoneAt: v.nullable(text),
      notes: text,
    }),
  ),
  events: v.optional(
    v.array(
      v.object({
        kind: v.picklist(['vibration', 'thermal-vacuum', 'rework', 'transport', 'other']),
        description: text,
        at: text,
        after: v.nullable(text),
      }),
    ),
    [],
  ),
  requirements: v.optional(
    v.array(
      v.object({
        code: text,
        text,
        bands: names,
        demand: v.variant('kind', [
          v.object({ kind: v.literal('strongest-line') }),
          v.object({ kind: v.literal('clean-channels'), atLeast: v.number(), as: v.picklist(['count', 'share']) }),
        ]),
        limit: v.nullable(text),
        modes: names,
        temperatures: v.array(temperature),
        points: names,
      }),
    ),
    [],
  ),
  dispositions: v.optional(
    v.array(
      v.object({
        subject: v.variant('kind', [
          v.object({
            kind: v.literal('line'),
            source: v.nullable(text),
            harmonic: v.nullable(v.number()),
            frequencyHz: v.number(),
            levelDb: v.number(),
            levelSigmaDb: v.number(),
            unit: text,
          }),
          v.object({ kind: v.literal('not-exercised'), source: text }),
          v.object({ kind: v.literal('changed-item'), item: text, fromSerial: text, toSerial: text }),
        ]),
        reason: text,
        approver: text,
        at: text,
        scope: v.object({
          serials: names,
          modes: names,
          bands: names,
          points: names,
          temperature: v.nullable(temperature),
        }),
        from: v.nullable(text),
        until: v.nullable(text),
        expiresOn: v.nullable(text),
      }),
    ),
    [],
  ),
});

export type DemoBuild = v.InferOutput<typeof schema>;

/** The demonstration's folder, and what its description says. */
export interface DemoFiles {
  readonly folder: string;
  readonly build: DemoBuild;
}

/**
 * Finds the invented demonstration: `sample-captures/wren` in the program's folder or one above, from source as from a build.
 *
 * @throws InputError where the program was installed without it, or its description is not what is expected
 */
export function demoFiles(): DemoFiles {
  const folder = findFolder(import.meta.dirname);
  const file = join(folder, 'wren.json');
  const result = v.safeParse(schema, JSON.parse(readFileSync(file, 'utf8')));
  if (result.success) return { folder, build: result.output };
  const [issue] = result.issues;
  throw new InputError({
    file,
    place: v.getDotPath(issue) ?? 'whole file',
    found: issue.received,
    expected: issue.expected,
    wayOut: 'Get the file again from the program’s repository.',
  });
}

function findFolder(start: string): string {
  for (let folder = start; ; folder = dirname(folder)) {
    const candidate = join(folder, 'sample-captures', 'wren');
    if (existsSync(join(candidate, 'wren.json'))) return candidate;
    if (dirname(folder) === folder) break;
  }
  throw new InputError({
    file: 'sample-captures/wren',
    place: 'the program’s folder',
    found: 'no such folder',
    expected: 'the files of the demonstration',
    wayOut: 'Install the program with its sample captures.',
  });
}
