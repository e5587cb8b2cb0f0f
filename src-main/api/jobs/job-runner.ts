import { Worker } from 'node:worker_threads';
import { InputError } from '../../model/input-problem.ts';
import type { JobKind, JobReply, JobRequest, Jobs } from './jobs.ts';

/** Rejects a job that was cancelled. */
export class JobCancelled extends Error {
  override readonly name = 'JobCancelled';
}

type Progress = (fraction: number, step: string) => void;

interface Waiting {
  readonly jobId: string;
  readonly request: JobRequest;
  readonly onProgress: Progress;
  readonly resolve: (output: Jobs[JobKind]['output']) => void;
  readonly reject: (error: Error) => void;
}

/**
 * Runs jobs in worker threads, at most `size` at once, the rest in order of arrival.
 *
 * Workers are started when first needed and kept. A cancelled job's worker is ended, since pure numerics has no place
 * to stop at; the next job starts a fresh one.
 */
export class JobRunner {
  readonly #script: URL;
  readonly #size: number;
  readonly #idle: Worker[] = [];
  readonly #busy = new Map<Worker, Waiting>();
  readonly #waiting: Waiting[] = [];
  #isClosed = false;

  constructor(script: URL, size: number) {
    this.#script = script;
    this.#size = size;
  }

  /** @throws JobCancelled; InputError from a reader; Error for a fault in the worker. */
  run<K extends JobKind>(
    kind: K,
    input: Jobs[K]['input'],
    { jobId, onProgress = () => {} }: { readonly jobId: string; readonly onProgress?: Progress },
  ): Promise<Jobs[K]['output']> {
    return new Promise((resolve, reject) => {
      // a call of several jobs may come with its next one while all is being ended
      if (this.#isClosed) return reject(closing());
      const request = { kind, input } as JobRequest;
      this.#waiting.push({ jobId, request, onProgress, resolve: resolve, reject });
      this.#startNext();
    });
  }

  /** Ends every job of this id, running or waiting; none of that id is no error. */
  cancel(jobId: string): void {
    const ended = new JobCancelled(`job ${jobId} was cancelled`);
    for (let i = this.#waiting.length - 1; i >= 0; i--) {
      if (this.#waiting[i]!.jobId === jobId) this.#waiting.splice(i, 1)[0]!.reject(ended);
    }
    for (const [worker, job] of this.#busy) if (job.jobId === jobId) this.#end(worker, ended);
    this.#startNext();
  }

  /** Ends all workers; jobs under way are cancelled. */
  async close(): Promise<void> {
    this.#isClosed = true;
    const ended = closing();
    for (const job of this.#waiting.splice(0)) job.reject(ended);
    for (const [worker] of this.#busy) this.#end(worker, ended);
    await Promise.all(this.#idle.splice(0).map((worker) => worker.terminate()));
  }

  #startNext(): void {
    while (this.#waiting.length > 0 && this.#busy.size < this.#size) {
      const job = this.#waiting.shift()!;
      const worker = this.#idle.pop() ?? this.#newWorker();
      this.#busy.set(worker, job);
      worker.ref();
      worker.postMessage(job.request);
    }
  }

  #newWorker(): Worker {
    const worker = new Worker(this.#script);
    worker.on('message', (reply: JobReply) => this.#hear(worker, reply));
    worker.on('error', (error) => this.#end(worker, error instanceof Error ? error : new Error(String(error))));
    worker.on('exit', (code) => this.#end(worker, new Error(`the worker thread ended early with code ${code}`)));
    return worker;
  }

  #hear(worker: Worker, reply: JobReply): void {
    const job = this.#busy.get(worker);
    // A job cancelled a moment ago may still have a message on its way.
    if (job === undefined) return;
    if (reply.say === 'progress') {
      job.onProgress(reply.fraction, reply.step);
      return;
    }
    this.#busy.delete(worker);
    this.#idle.push(worker);
    // An idle worker must not keep the program alive.
    worker.unref();
    if (reply.say === 'done') job.resolve(reply.output);
    else job.reject(reply.say === 'refused' ? new InputError(reply.problem) : new Error(reply.message));
    this.#startNext();
  }

  #end(worker: Worker, reason: Error): void {
    const job = this.#busy.get(worker);
    this.#busy.delete(worker);
    const place = this.#idle.indexOf(worker);
    if (place >= 0) this.#idle.splice(place, 1);
    void worker.terminate();
    job?.reject(reason);
    if (job !== undefined) this.#startNext();
  }
}

function closing(): JobCancelled {
  return new JobCancelled('the register is being closed');
}
