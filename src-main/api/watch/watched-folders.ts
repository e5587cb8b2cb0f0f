import { sha256Of } from '../steps/open-capture.ts';
import { silentCondition } from '../../model/silent-condition.ts';
import type { WatchedFolder } from '../../model/watched-folder.ts';
import type { Register } from '../../register/register.ts';
import type { ApiParts } from '../api-parts.ts';
import { apiProblemOf } from '../api-problem.ts';
import type { Api } from '../contract.ts';
import { layoutKey } from '../../readers/layout-key.ts';
import { asRemembered, hintsOfLayout, keepHintsOfCapture } from '../steps/kept-hints.ts';
import { chooseTrace } from '../steps/choose-trace.ts';
import type { WatchedFolderView } from '../contract/recording-calls.ts';
import { FolderWatch, type FolderSight, type StillFile } from './folder-watch.ts';
import { neededBeside } from '../steps/needed-beside.ts';
import { sharedBytes } from '../steps/shared-bytes.ts';

const NOT_LOOKED_AT: FolderSight = { waitingFor: [], refused: [], problem: null };

/**
 * The watched folders of the register that is open. What stands still in them is taken in, put to its place, triaged and compared;
 * bytes that were ever taken in are passed over, also by another name and also where their capture was removed. After a restart
 * everything in the folders is looked at again, so what arrived meanwhile is taken in.
 */
export class WatchedFolders {
  readonly #parts: ApiParts;
  readonly #calls: Pick<Api, 'triageRun' | 'compareRun'>;
  readonly #watches = new Map<number, { readonly path: string; readonly watch: FolderWatch }>();
  #register: Register | null = null;
  readonly #timer: NodeJS.Timeout;
  #jobs = 0;

  /** @param everyMs how often the folders are looked at */
  constructor(parts: ApiParts, calls: Pick<Api, 'triageRun' | 'compareRun'>, everyMs: number) {
    this.#parts = parts;
    this.#calls = calls;
    this.#timer = setInterval(() => void this.look(), everyMs);
    // looking alone must not keep the program alive
    this.#timer.unref();
  }

  close(): void {
    clearInterval(this.#timer);
  }

  views(): readonly WatchedFolderView[] {
    return this.#folders().map((folder) => ({
      folder,
      ...(this.#watches.get(folder.id)?.watch.sight ?? NOT_LOOKED_AT),
    }));
  }

  /** One look at every folder that is on. Never rejects. */
  async look(): Promise<void> {
    for (const folder of this.#folders()) {
      if (!folder.isOn) continue;
      await this.#watchOf(folder).look();
    }
  }

  #folders(): readonly WatchedFolder[] {
    const { register } = this.#parts.session;
    if (register !== this.#register) {
      this.#watches.clear();
      this.#register = register;
    }
    try {
      return register.readOnly ? [] : register.folders.list();
    } catch {
      return []; // the file may be away for a moment; the next look tells
    }
  }

  #watchOf({ id, path }: WatchedFolder): FolderWatch {
    const known = this.#watches.get(id);
    if (known !== undefined && known.path === path) return known.watch;
    const watch = new FolderWatch(path, (file) => this.#take(id, file));
    this.#watches.set(id, { path, watch });
    return watch;
  }

  /** Takes one file in. @returns null, or why it was refused */
  async #take(folderId: number, file: StillFile): Promise<string | null> {
    const { session, jobs } = this.#parts;
    const { register } = session;
    const say = (captureId: number | null, spurs: number | null, sentence: string): void =>
      session.settings.emit('captureArrived', { folderId, file: file.name, captureId, spurs, sentence });
    try {
      if (register.captures.wasTaken(sha256Of(file.bytes))) return null;
      const { name, bytes, companions } = file;
      const jobId = `watch-${(this.#jobs += 1)}`;
      const hints = hintsOfLayout(register, layoutKey(bytes, name)) ?? undefined;
      const read = await jobs.run('read', { file: name, bytes: sharedBytes(bytes), companions, hints }, { jobId });
      const capture = hints === undefined ? read : asRemembered(read);
      const folder = register.folders.get(folderId);
      // another register was opened, or the folder taken off, while the file was read
      if (session.register !== register || folder === null) return null;
      const { traceIndex } = chooseTrace(capture, null, silentCondition(name));
      const condition = { ...silentCondition(name), ...folder.condition };
      const id = register.step(() => {
        const added = register.captures.add(capture, bytes, condition, traceIndex, neededBeside(capture, companions));
        if (!added.alreadyKnown)
          register.captures.assign([added.capture.id], { stateId: folder.stateId, pointId: folder.pointId });
        keepHintsOfCapture(register, capture.sha256, hints);
        return added.capture.id;
      });
      session.changed(['capture']);
      const triage = await this.#calls.triageRun({ captureId: id, jobId });
      say(id, triage.spurs.length, await this.#sentence(folder, id, triage.spurs.length, jobId));
      return null;
    } catch (error) {
      const { message } = apiProblemOf(error);
      say(null, null, message);
      return message;
    }
  }

  async #sentence(folder: WatchedFolder, captureId: number, spurs: number, jobId: string): Promise<string> {
    const found = `${spurs} ${spurs === 1 ? 'spur' : 'spurs'} found.`;
    const before = folder.compareWith.filter((id) => id !== captureId);
    if (before.length === 0) return found;
    try {
      const { sentence } = await this.#calls.compareRun({
        beforeCaptureIds: before,
        afterCaptureIds: [captureId],
        jobId,
      });
      return `${found} ${sentence}`;
    } catch (error) {
      return `${found} It was not compared: ${apiProblemOf(error).message}`;
    }
  }
}
