import { parentPort, workerData } from 'node:worker_threads';
import type { JobRequest } from './api/jobs/jobs.ts';
import type { SumHelp } from './api/jobs/sum-together.ts';

// what either kind needs is loaded by that kind: a helper starts in the time of a few files
const help = workerData as SumHelp | null | undefined;
if (help?.help === 'sums') {
  void import('./api/jobs/help-sum.ts').then(({ helpSum }) => helpSum(help));
} else {
  const answering = import('./api/jobs/answer-job.ts');
  parentPort!.on('message', (request: JobRequest) => {
    void answering.then(({ answerJob }) =>
      answerJob(request, (reply, transfer) => parentPort!.postMessage(reply, transfer)),
    );
  });
}
