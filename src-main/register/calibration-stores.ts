import type { Database } from 'better-sqlite3';
import {
  tableProblem,
  type CalibrationChain,
  type CalibrationTable,
  type PointTransfer,
} from '../model/calibration.ts';
import type { WatchedFolder } from '../model/watched-folder.ts';
import type { ChangeLog } from './change-log.ts';
import { EntityStore, type Wrong } from './entity-store.ts';
import { dependantsOf, nameIsTaken } from './rests-on.ts';

/** Tables against frequency; chains rest on them. */
export function calibrationStore(db: Database, log: ChangeLog): EntityStore<CalibrationTable> {
  return new EntityStore<CalibrationTable>(db, log, {
    subject: 'calibration',
    columns: () => ({}),
    nameOf: ({ name }) => name,
    wrongWith: (table, id) =>
      numbersWrong(table) ?? channelWrong(table) ?? unitsWrong(table) ?? nameWrong(db, 'calibration', table.name, id),
    restsOn: (id) =>
      dependantsOf(db, id, [
        {
          what: 'chain',
          query:
            "SELECT count(*) FROM chain, json_each(chain.body, '$.tableIds') WHERE json_each.value = ? AND chain.gone = 0",
        },
      ]),
  });
}

/** Chains of tables; captures rest on them. */
export function chainStore(db: Database, log: ChangeLog): EntityStore<CalibrationChain> {
  return new EntityStore<CalibrationChain>(db, log, {
    subject: 'chain',
    columns: () => ({}),
    nameOf: ({ name }) => name,
    wrongWith: (chain, id) => {
      const missing = chain.tableIds.find(
        (tableId) => db.prepare('SELECT 1 FROM calibration WHERE id = ? AND gone = 0').get(tableId) === undefined,
      );
      if (missing !== undefined)
        return { found: `no table ${missing}`, expected: 'tables that are there', wayOut: 'Choose the tables again.' };
      return nameWrong(db, 'chain', chain.name, id);
    },
    restsOn: (id) =>
      dependantsOf(db, id, [
        {
          what: 'capture',
          query: "SELECT count(*) FROM capture WHERE json_extract(body, '$.calibration.chainId') = ? AND gone = 0",
        },
      ]),
  });
}

/** Transfers of points to the receiver's input. A version once given is never changed: results name it. */
export function transferStore(db: Database, log: ChangeLog): EntityStore<PointTransfer> {
  return new EntityStore<PointTransfer>(db, log, {
    subject: 'transfer',
    columns: ({ pointId }) => ({ point_id: pointId }),
    nameOf: ({ pointId, version }) => `of point ${pointId}, version ${version}`,
    wrongWith: (transfer, id) => {
      if (id !== null)
        return {
          found: `version ${transfer.version}, which is given already`,
          expected: 'a new version',
          wayOut: 'Enter the transfer anew: it gets the next number, and results keep the one they rest on.',
        };
      return numbersWrong(transfer);
    },
    restsOn: (id) =>
      dependantsOf(db, id, [
        {
          what: 'capture',
          query: "SELECT count(*) FROM capture WHERE json_extract(body, '$.calibration.transferId') = ? AND gone = 0",
        },
      ]),
  });
}

/** Folders that are looked at for captures; nothing rests on them. */
export function folderStore(db: Database, log: ChangeLog): EntityStore<WatchedFolder> {
  return new EntityStore<WatchedFolder>(db, log, {
    subject: 'folder',
    columns: ({ stateId, pointId }) => ({ state_id: stateId, point_id: pointId }),
    nameOf: ({ path }) => path,
    wrongWith: ({ path }, id) => {
      const same = db
        .prepare("SELECT id FROM folder WHERE json_extract(body, '$.path') = ? AND gone = 0")
        .pluck()
        .get(path);
      return same === undefined || same === id
        ? null
        : { found: 'this folder a second time', expected: 'each folder once', wayOut: 'Change the entry there is.' };
    },
    restsOn: () => null,
  });
}

function numbersWrong(table: Parameters<typeof tableProblem>[0]): Wrong | null {
  const problem = tableProblem(table);
  return problem === null
    ? null
    : {
        found: problem,
        expected: 'frequencies above zero in rising order, each with a value in decibels',
        wayOut: 'Correct that row.',
      };
}

function channelWrong({
  kind,
  axis,
  gainState = null,
}: Pick<CalibrationTable, 'kind' | 'axis' | 'gainState'>): Wrong | null {
  if (kind === 'channel' || (axis === undefined && gainState === null)) return null;
  return {
    found: axis === undefined ? `a gain state with a ${kind}` : `offsets from a tuned frequency with a ${kind}`,
    expected: 'these with the response of a receiver’s channel only',
    wayOut: 'Choose the stage channel, or give the table against frequency.',
  };
}

function unitsWrong({ kind, units }: Pick<CalibrationTable, 'kind' | 'units'>): Wrong | null {
  if ((kind === 'transducer' || kind === 'probe') === (units !== null)) return null;
  return {
    found: units === null ? `a ${kind} without units` : `units with a ${kind}`,
    expected: 'the units before and after for a transducer or probe, and none for a gain, loss or attenuation',
    wayOut: 'State the units, such as dBµV and dBµV/m, or take them out.',
  };
}

function nameWrong(db: Database, table: 'calibration' | 'chain', name: string, id: number | null): Wrong | null {
  return nameIsTaken(db, table, name, id)
    ? { found: 'this name a second time', expected: 'each by its own name', wayOut: 'Rename it.' }
    : null;
}
