/** Hands a text to the user as a file. */
export function downloadText(file: string, text: string, type: string): void {
  downloadBlob(file, new Blob([text], { type }));
}

/** Hands bytes to the user as a file. */
export function downloadBlob(file: string, blob: Blob): void {
  const url = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = url;
  link.download = file;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
