import { contextBridge, ipcRenderer } from 'electron';
import { ELECTRON_CHANNEL, ELECTRON_USABLE, type ToPage } from './api/wire.ts';

contextBridge.exposeInMainWorld('spurledgerBridge', {
  call: (name: string, argument: unknown): Promise<unknown> => ipcRenderer.invoke(ELECTRON_CHANNEL, name, argument),
  tellUsable: (ids: readonly string[]): void => ipcRenderer.send(ELECTRON_USABLE, ids),
  listen: (listener: (message: ToPage) => void): (() => void) => {
    const handler = (_event: unknown, message: ToPage): void => listener(message);
    ipcRenderer.on(ELECTRON_CHANNEL, handler);
    return () => ipcRenderer.off(ELECTRON_CHANNEL, handler);
  },
});
