import { parentPort } from 'node:worker_threads';
import { answerJob } from './api/jobs/answer-job.ts';
import type { JobRequest } from './api/jobs/jobs.ts';

parentPort!.on('message', (request: JobRequest) => {
  answerJob(request, (reply, transfer) => parentPort!.postMessage(reply, transfer));
});
