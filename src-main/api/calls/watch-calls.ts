import { statSync } from 'node:fs';
import { isAbsolute } from 'node:path';
import type { ApiParts } from '../api-parts.ts';
import { Refused } from '../api-problem.ts';
import type { RecordingCalls } from '../contract/recording-calls.ts';
import { mustBeThere } from '../steps/must-be-there.ts';
import type { WatchedFolders } from '../watch/watched-folders.ts';

type Calls = Pick<RecordingCalls, 'watchList' | 'watchPut' | 'watchRemove'>;

/** Folders whose captures are taken in by themselves. */
export function watchCalls({ session }: ApiParts, watched: WatchedFolders): Calls {
  return {
    watchList: () => Promise.resolve(watched.views()),
    watchPut({ id, ...folder }) {
      if (!isAbsolute(folder.path)) throw new Refused(`${folder.path} is no full path; write it from the root on.`);
      if (folder.isOn && !isFolder(folder.path))
        throw new Refused(`${folder.path} is no folder that can be looked at.`);
      const { states, points, folders } = session.register;
      mustBeThere(states, folder.stateId, 'state');
      mustBeThere(points, folder.pointId, 'point');
      const kept = folders.put(id, folder);
      session.changed(['folder']);
      return Promise.resolve(watched.views().find((view) => view.folder.id === kept.id)!);
    },
    watchRemove({ id }) {
      session.register.folders.remove(id);
      session.changed(['folder']);
      return Promise.resolve();
    },
  };
}

function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    return false;
  }
}
