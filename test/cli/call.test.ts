import { expect, test } from 'vitest';
import { DEFAULT_SPECTRUM_SETTINGS } from '../../src-main/model/spectrum-settings.ts';
import { parseCall } from '../../src-main/cli/call.ts';

const words = (line: string) => line.split(' ').filter((word) => word !== '');
const noTables = { sources: null, conditions: null, bands: null, register: null };

const UNSAID = { spectrum: DEFAULT_SPECTRUM_SETTINGS, hints: {} };

test.each([
  ['read a.csv b.csv', { command: 'read', captures: ['a.csv', 'b.csv'], json: false }],
  ['read --json a.csv', { command: 'read', captures: ['a.csv'], json: true }],
  [
    'triage a.csv --sources s.csv --trace 3 b.csv --json',
    {
      command: 'triage',
      captures: ['a.csv', 'b.csv'],
      tables: { ...noTables, sources: 's.csv' },
      json: true,
      trace: 3,
    },
  ],
  [
    'triage --register=r.spurledger --bands=b.csv --conditions c.csv a.csv',
    {
      command: 'triage',
      captures: ['a.csv'],
      tables: { sources: null, conditions: 'c.csv', bands: 'b.csv', register: 'r.spurledger' },
      json: false,
      trace: null,
    },
  ],
  [
    'compare --before a.csv b.csv --after c.csv d.csv --sources s.csv',
    {
      command: 'compare',
      reRigged: false,
      before: ['a.csv', 'b.csv'],
      after: ['c.csv', 'd.csv'],
      tables: { ...noTables, sources: 's.csv' },
      json: false,
      trace: null,
    },
  ],
  [
    'compare --after=c.csv --json --before=a.csv --before=b.csv',
    {
      command: 'compare',
      before: ['a.csv', 'b.csv'],
      after: ['c.csv'],
      reRigged: false,
      tables: noTables,
      json: true,
      trace: null,
    },
  ],
  [
    'compare --re-rigged --before a.csv b.csv --after c.csv',
    {
      command: 'compare',
      before: ['a.csv', 'b.csv'],
      after: ['c.csv'],
      reRigged: true,
      tables: noTables,
      json: false,
      trace: null,
    },
  ],
  [
    'plan --sources s.csv --bands b.csv --seed 7 --json',
    {
      command: 'plan',
      tables: { ...noTables, sources: 's.csv', bands: 'b.csv' },
      json: true,
      settings: { seed: 7 },
    },
  ],
  [
    'packet --register r.spurledger --out folder --key k.pem --json',
    { command: 'packet', register: 'r.spurledger', out: 'folder', key: 'k.pem', json: true },
  ],
  ['verify folder', { command: 'verify', packet: 'folder', publicKey: null, json: false }],
  ['--help', { command: 'help' }],
  ['triage --help', { command: 'help' }],
  ['help', { command: 'help' }],
  ['--version', { command: 'version' }],
])('"%s" is understood', (line, call) => {
  // where nothing is said of recordings, spectra are made with the defaults
  const takesCaptures = 'captures' in call || 'before' in call;
  expect(parseCall(words(line))).toEqual(takesCaptures ? { ...call, open: UNSAID } : call);
});

test.each([
  ['', /no command/],
  ['look a.csv', /unknown command "look"/],
  ['plan --sources s.csv', /needs --bands/],
  ['plan --sources s.csv --bands b.csv x.csv', /no file of its own/],
  ['plan --sources s.csv --bands b.csv --seed one', /--seed is "one"/],
  ['plan --sources s.csv --bands b.csv --leakage-hz -1', /leakage-hz/],
  ['packet --register r', /needs --out/],
  ['packet --out o', /needs --register/],
  ['packet --register r --out o x.csv', /no file of its own/],
  ['packet --register r --register s --out o', /--register is given 2 times/],
  ['packet --register r --out o --public-key k', /"packet" takes no --public-key/],
  ['verify', /folder of one packet, found 0/],
  ['verify one two', /found 2 names/],
  ['verify folder --register r', /"verify" takes no --register/],
  ['read', /at least one capture/],
  ['triage --json', /at least one capture/],
  ['read a.csv --sources s.csv', /"read" takes no --sources/],
  ['triage a.csv --before b.csv', /takes no --before/],
  ['triage a.csv --souces s.csv', /Unknown option '--souces'/],
  ['triage a.csv --sources', /argument missing/],
  ['triage a.csv --sources s.csv --sources t.csv', /--sources is given 2 times/],
  ['triage a.csv --trace 0', /--trace is "0"/],
  ['triage a.csv --trace two', /--trace is "two"/],
  ['triage a.csv --trace -1', /trace/],
  ['triage a.csv --json=yes', /does not take an argument/],
  ['compare --before a.csv', /needs --after/],
  ['compare --after a.csv', /needs --before/],
  ['compare a.csv --before b.csv --after c.csv', /"a.csv" belongs to no side/],
  ['compare --before a.csv --sources s.csv b.csv --after c.csv', /"b.csv" belongs to no side/],
])('"%s" is a wrong call that says why', (line, reason) => {
  expect(() => parseCall(words(line))).toThrow(reason);
});
