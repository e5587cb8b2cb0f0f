/** One thing wrong with a packet: the file, what it is, what it should be. */
export interface VerifyProblem {
  readonly path: string;
  readonly found: string;
  readonly expected: string;
}

export interface VerifyReport {
  /** Every file has its sum, none is missing, added or reordered, and a signature that is there (or asked for) is good. */
  readonly intact: boolean;
  /** All results, computed again from traces and settings, are those in the packet. */
  readonly reproduces: boolean;
  readonly problems: readonly VerifyProblem[];
  /** Version that wrote the packet; null where it could not be read. */
  readonly writtenBy: string | null;
  readonly verifiedBy: string;
  /** null: to the last bit. */
  readonly tolerance: number | null;
  /** True where tables, plots, page and print were made again too and held against the packet's; with another version only results are. */
  readonly documentsRecomputed: boolean;
  /** `none`, `good` (by the key that was given), `by an unknown key`, or `bad`. */
  readonly signature: 'none' | 'good' | 'by an unknown key' | 'bad';
  readonly signer: string | null;
  readonly manifestSha256: string | null;
}

/** The report as the command line and the page give it. */
export function verifyDocument(report: VerifyReport) {
  return {
    schema: 'spurledger.verify/1',
    intact: report.intact,
    reproduces: report.reproduces,
    problems: report.problems,
    written_by: report.writtenBy,
    verified_by: report.verifiedBy,
    tolerance: report.tolerance,
    documents_recomputed: report.documentsRecomputed,
    signature: report.signature,
    signer: report.signer,
    manifest_sha256: report.manifestSha256,
  } as const;
}
