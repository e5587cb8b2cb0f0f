import type { Client } from '../../src-main/api/contract.ts';

export interface Job {
  readonly id: string;
  readonly label: string;
  readonly step: string;
  readonly fraction: number;
}

/** Long work in hand: what is shown in the page head, with the way to cancel it. */
export class Jobs {
  list = $state.raw<readonly Job[]>([]);
  readonly #client: Client;
  #count = 0;

  constructor(client: Client) {
    this.#client = client;
    client.on('progress', ({ jobId, fraction, step }) => {
      this.list = this.list.map((job) => (job.id === jobId ? { ...job, fraction, step } : job));
    });
  }

  get current(): Job | null {
    return this.list.at(-1) ?? null;
  }

  async run<T>(label: string, work: (jobId: string) => Promise<T>): Promise<T> {
    const id = `window-${Date.now().toString(36)}-${++this.#count}`;
    this.list = [...this.list, { id, label, step: '', fraction: 0 }];
    try {
      return await work(id);
    } finally {
      this.list = this.list.filter((job) => job.id !== id);
    }
  }

  cancel(): void {
    const job = this.current;
    if (job !== null) void this.#client.call('cancel', { jobId: job.id });
  }
}
