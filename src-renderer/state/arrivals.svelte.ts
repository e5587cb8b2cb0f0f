import type { Client } from '../../src-main/api/contract.ts';
import type { CaptureArrived } from '../../src-main/api/contract/recording-calls.ts';

/** What came in by itself from watched folders and was not yet looked at; the newest first. */
export class Arrivals {
  list = $state.raw<readonly CaptureArrived[]>([]);

  constructor(client: Client) {
    client.on('captureArrived', (arrived) => (this.list = [arrived, ...this.list].slice(0, MOST)));
  }

  clear(): void {
    this.list = [];
  }
}

/** As many are remembered as a list can show. */
const MOST = 50;
