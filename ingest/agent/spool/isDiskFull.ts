/** SQLite: the database or disk is full, and I/O errors, which some disks give instead. */
const FULL = 13;
const IO_ERROR = 10;
const SYSTEM_CODES = new Set(['ENOSPC', 'EDQUOT', 'EROFS', 'EIO']);

/** Whether a write failed for want of a disk that takes it. */
export function isDiskFull(error: unknown): boolean {
  if (!(error instanceof Error)) return false;
  const errcode = 'errcode' in error ? Number(error.errcode) & 0xff : null;
  if (errcode === FULL || errcode === IO_ERROR) return true;
  return 'code' in error && SYSTEM_CODES.has(String(error.code));
}

/** Does what can wait for a disk that takes writes: a full one is told where readings go. */
export function unlessFull(work: () => void): void {
  try {
    work();
  } catch (error) {
    if (!isDiskFull(error)) throw error;
  }
}
