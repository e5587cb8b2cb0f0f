import { planFrequencies } from '../engine/plan.ts';
import { planChannels, planRisks } from '../engine/try-plan.ts';
import { DEFAULT_PLAN_SETTINGS } from '../model/plan.ts';
import { planDocument } from '../report/plan-document.ts';
import { planTable } from '../report/plan-table.ts';
import type { Call } from './call.ts';
import { Collected } from './collected.ts';
import { readTables } from './tables-input.ts';
import type { ExitStatus, Terminal } from './terminal.ts';

/** `plan --sources FILE --bands FILE`: what each source costs, and where the switching frequencies should lie. */
export function planCommand(call: Extract<Call, { command: 'plan' }>, terminal: Terminal): ExitStatus {
  const collected = new Collected(terminal);
  const { sources: sourceFile, bands: bandFile } = call.tables;
  const tables = readTables(call.tables, terminal.folder, collected);
  const settings = { ...DEFAULT_PLAN_SETTINGS, ...call.settings };
  const { sources, bands } = tables;
  const reported =
    sources === null || bands === null
      ? null
      : collected.attempt('plan', () => {
          const names = { sources: sourceFile!, bands: bandFile! };
          const planning = planFrequencies({
            sources,
            bands,
            settings,
            names,
            onProgress: (_, step) => {
              if (terminal.showsProgress) terminal.err(`\r\u001b[Kplan: ${step}`);
            },
          });
          if (terminal.showsProgress) terminal.err('\r\u001b[K');
          const inputs = [planning.today, ...planning.plans].map((plan) => {
            return { sources, bands, settings, names, chosen: plan.settings };
          });
          return { planning, risks: inputs.map(planRisks), channels: inputs.map(planChannels) };
        });
  if (reported !== null) collected.warn('plan', reported.planning.warnings);
  if (call.json)
    terminal.out(`${JSON.stringify(planDocument(reported, settings.seed, collected.problems), null, 2)}\n`);
  else if (reported !== null) terminal.out(planTable(reported));
  return collected.status;
}
