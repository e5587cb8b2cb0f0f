import type { Api, RegisterInfo } from '../contract.ts';
import { folderList } from '../folder-list.ts';
import type { ApiParts } from '../api-parts.ts';

type RegisterCalls = Pick<
  Api,
  'about' | 'registerInfo' | 'registerRecent' | 'folderList' | 'undo' | 'redo' | 'history'
>;

export function registerCalls(parts: ApiParts): RegisterCalls {
  const { session, about } = parts;
  const info = (): Promise<RegisterInfo> => Promise.resolve(session.info());
  const replay = (kind: 'undo' | 'redo'): Promise<RegisterInfo> => {
    const newest = session.register.history(1, null)[0]?.id ?? 0;
    session.register[kind]();
    session.changedSince(newest);
    return info();
  };
  return {
    about: () => Promise.resolve(about),
    registerInfo: info,
    registerRecent: () => Promise.resolve(session.settings.recent.list()),
    folderList: ({ path }) => Promise.resolve(folderList(path ?? session.settings.documentsFolder)),
    undo: () => replay('undo'),
    redo: () => replay('redo'),
    history: ({ limit, beforeId }) => Promise.resolve(session.register.history(limit, beforeId)),
  };
}
