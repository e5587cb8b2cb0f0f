import type { Freeze, PacketRecord } from '../../model/freeze.ts';
import type { Recheck, RecheckJudgement, SettingDifference } from '../../model/recheck.ts';
import type { ReviewNote } from '../../model/review-note.ts';
import type { VerifyReport } from '../../report/packet/verify-document.ts';

/** A frozen revision with the packets that were written from it. */
export interface FrozenRevision {
  readonly freeze: Freeze;
  readonly packets: readonly PacketRecord[];
  readonly captureIds: readonly number[];
  /** What differs in the register from what was frozen, one line each. */
  readonly differsSince: readonly string[];
}

/** What freezing a state would hold, before it is done. */
export interface FreezeOffer {
  readonly states: readonly string[];
  readonly captures: number;
  /** Against the revision before; empty for a first one. */
  readonly differs: readonly string[];
  readonly leftOut: readonly string[];
  /** Why it cannot be done now; null where it can. */
  readonly refusedBecause: string | null;
}

export interface PacketWritten {
  readonly folder: string;
  readonly manifestSha256: string;
  readonly files: number;
  readonly revision: number | null;
  readonly signed: boolean;
}

/** A capture of a re-check's list, with what is known of its repeats. */
export interface RecheckRow {
  readonly baselineCaptureId: number;
  readonly file: string;
  readonly point: string | null;
  readonly mode: string | null;
  readonly temperatureC: number | null;
  /** The frozen settings in words, for the hand at the instrument. */
  readonly settings: string;
  readonly repeats: readonly {
    readonly captureId: number;
    readonly file: string;
    readonly differences: readonly SettingDifference[];
  }[];
  readonly droppedBecause: string | null;
}

export interface RecheckView {
  readonly recheck: Recheck;
  readonly revision: number;
  readonly event: string;
  readonly baselineState: string;
  readonly state: string | null;
  readonly rows: readonly RecheckRow[];
}

type None = Record<string, never>;

/** Freezing, packets, re-checks and the review. */
export interface PacketCalls {
  /** Oldest first. */
  freezeList(argument: None): Promise<readonly FrozenRevision[]>;
  freezeOffer(argument: { stateId: number }): Promise<FreezeOffer>;
  /** Freezes the state with all it came from. Refused where the clock runs behind the register. */
  freezePut(argument: { stateId: number; note: string; by: string }): Promise<Freeze>;
  freezeReopen(argument: { freezeId: number; by: string; reason: string }): Promise<Freeze>;

  /** Writes a packet into a new folder (relative: in the documents folder). `freezeId` null: a draft. Long: a job. */
  packetWrite(argument: {
    freezeId: number | null;
    folder: string;
    /** Text of an Ed25519 private key (PEM) and its file's name; it is used and not kept. null: not signed. */
    key: { file: string; pem: string } | null;
    jobId: string;
  }): Promise<PacketWritten>;
  /** Checks a packet's sums and computes its results again. Long: a job. */
  packetVerify(argument: {
    folder: string;
    publicKey: { file: string; pem: string } | null;
    jobId: string;
  }): Promise<VerifyReport>;

  recheckList(argument: None): Promise<readonly RecheckView[]>;
  /** Opens the list of captures to repeat after an event: those of the frozen state. */
  recheckOpen(argument: { freezeId: number; eventId: number; by: string }): Promise<RecheckView>;
  /** Names the state that the repeats are of; captures of it that are like a baseline capture are taken as its repeats. */
  recheckState(argument: { id: number; stateId: number | null }): Promise<RecheckView>;
  /** Sets one capture's repeats by hand (empty: whatever fits), or takes it off the list with a reason. */
  recheckItem(argument: {
    id: number;
    baselineCaptureId: number;
    repeatedBy: readonly number[];
    droppedBecause: string | null;
  }): Promise<RecheckView>;
  /** Compares what was repeated with the baseline. Long: a job. */
  recheckRun(argument: { id: number; jobId: string }): Promise<RecheckJudgement>;

  reviewNoteList(argument: None): Promise<readonly ReviewNote[]>;
  /** `at` is set by the program. */
  reviewNotePut(
    argument: Pick<ReviewNote, 'freezeId' | 'kind' | 'subject' | 'text' | 'by' | 'owner' | 'dueOn'> & {
      id: number | null;
    },
  ): Promise<ReviewNote>;
  reviewNoteClose(argument: { id: number; answer: string }): Promise<ReviewNote>;
}
