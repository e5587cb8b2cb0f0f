import packageFacts from '../../package.json' with { type: 'json' };
import { terminalText } from '../report/terminal-text.ts';
import { parseCall, type Call } from './call.ts';
import { EXIT, WrongCall, type ExitStatus, type Terminal } from './terminal.ts';
import { USAGE } from './usage.ts';

/**
 * One headless call. Never throws: a wrong call, a refused input and a fault of the program each end in their exit status
 * with the reason on `terminal.err`.
 */
export async function runCommandLine(words: readonly string[], terminal: Terminal): Promise<ExitStatus> {
  try {
    return await run(parseCall(words), terminal);
  } catch (error) {
    if (error instanceof WrongCall) {
      terminal.err(`spurledger: ${terminalText(error.message)}\n\n${USAGE}`);
      return EXIT.wrongCall;
    }
    terminal.err(
      `spurledger: fault of the program: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`,
    );
    return EXIT.fault;
  }
}

// The commands are loaded when they are called: a script that reads one file should not wait for the register's library.
async function run(call: Call, terminal: Terminal): Promise<ExitStatus> {
  switch (call.command) {
    case 'help':
      terminal.out(USAGE);
      return EXIT.done;
    case 'version':
      terminal.out(`${packageFacts.version}\n`);
      return EXIT.done;
    case 'read':
      return (await import('./read-command.ts')).readCommand(call, terminal);
    case 'triage':
      return (await import('./triage-command.ts')).triageCommand(call, terminal);
    case 'compare':
      return (await import('./compare-command.ts')).compareCommand(call, terminal);
    case 'plan':
      return (await import('./plan-command.ts')).planCommand(call, terminal);
    case 'packet':
      return (await import('./packet-command.ts')).packetCommand(call, terminal);
    case 'verify':
      return (await import('./verify-command.ts')).verifyCommand(call, terminal);
  }
}
