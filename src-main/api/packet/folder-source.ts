import { InputError } from '../../model/input-problem.ts';
import { PACKET_SCHEMA, type PacketCapture, type PacketContents } from '../../model/packet.ts';
import type { Trace } from '../../model/trace.ts';
import { parseColumnsCsv } from '../../report/packet/columns-csv.ts';
import { fromLosslessJson } from '../../report/packet/lossless-json.ts';
import { readPlainFile } from './packet-folder.ts';
import { capturePaths, PATHS, TRACE_HEADS } from './packet-paths.ts';
import type { PacketSource } from './packet-source.ts';

/** A packet's own inputs. @throws InputError where they are missing, are not what a packet holds, or are of a newer version */
export function folderSource(folder: string): PacketSource {
  const contents = readContents(folder);
  const captureOf = (id: number): PacketCapture => {
    const capture = contents.captures.find((one) => one.id === id);
    if (capture === undefined)
      throw wrong(PATHS.contents, `a capture number ${id} that it does not list`, 'a listed capture');
    return capture;
  };
  return {
    contents,
    trace(id, index): Trace {
      const capture = captureOf(id);
      const path = capturePaths(contents, capture).trace(index);
      const head = capture.traces[index];
      if (head === undefined)
        throw wrong(PATHS.contents, `no trace ${index + 1} of ${capture.file}`, 'a trace that is there');
      const { points, ...rest } = head;
      const [frequencyHz, level] = parseColumnsCsv(textOf(folder, path), path, TRACE_HEADS) as [
        Float64Array,
        Float64Array,
      ];
      if (frequencyHz.length !== points) throw wrong(path, `${frequencyHz.length} points`, `${points} points`);
      const unordered = frequencyHz.findIndex(
        (hz, i) => !(hz > (frequencyHz[i - 1] ?? -Infinity)) || !Number.isFinite(hz),
      );
      if (unordered >= 0)
        throw wrong(path, `line ${unordered + 2}: reordered or no frequency`, 'frequencies in ascending order');
      return { ...rest, frequencyHz, level };
    },
    original: (id) => bytesOf(folder, capturePaths(contents, captureOf(id)).original),
  };
}

function readContents(folder: string): PacketContents {
  let contents: unknown;
  const text = textOf(folder, PATHS.contents);
  try {
    contents = fromLosslessJson(text);
  } catch {
    throw wrong(PATHS.contents, 'a text that is no JSON', 'the contents of a packet');
  }
  const schema =
    typeof contents === 'object' && contents !== null && 'schema' in contents ? String(contents.schema) : 'no schema';
  if (schema !== PACKET_SCHEMA) {
    const number = /^spurledger\.packet-contents\/(\d+)$/.exec(schema)?.[1];
    const isNewer = number !== undefined && Number(number) > 1;
    throw new InputError({
      file: PATHS.contents,
      place: 'schema',
      found: `${schema.slice(0, 80)}${isNewer ? ', a packet of a newer version' : ''}`,
      expected: PACKET_SCHEMA,
      wayOut: isNewer
        ? 'Verify it with the version that wrote it, or a newer one.'
        : 'This is no packet, or it was altered.',
    });
  }
  const lists = [
    'states',
    'fixes',
    'points',
    'events',
    'bands',
    'sources',
    'decisions',
    'captures',
    'comparisons',
    'requirements',
    'limits',
    'dispositions',
    'rechecks',
    'notes',
    'leftOut',
  ];
  const missing = lists.find((name) => !Array.isArray((contents as Record<string, unknown>)[name]));
  if (missing !== undefined) throw wrong(PATHS.contents, `no list of ${missing}`, 'a list, empty where there is none');
  const { engineVersion } = contents as { readonly engineVersion?: unknown };
  if (typeof engineVersion !== 'string' || !/^\d+\.\d+\.\d+[\w.+-]*$/.test(engineVersion))
    throw wrong(PATHS.contents, 'no version of the program that wrote it', 'a version such as 1.0.0');
  return contents as PacketContents;
}

function bytesOf(folder: string, path: string): Uint8Array {
  const bytes = readPlainFile(folder, path);
  if (bytes === null) throw wrong(path, 'no plain file', 'the file as it was written');
  return bytes;
}

function textOf(folder: string, path: string): string {
  return Buffer.from(bytesOf(folder, path)).toString('utf8');
}

function wrong(file: string, found: string, expected: string): InputError {
  return new InputError({
    file,
    place: 'the packet',
    found,
    expected,
    wayOut: 'Take the packet again from where it was issued.',
  });
}
