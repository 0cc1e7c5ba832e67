/** Takes in the variables of a file `.env` in the working folder, where there is one. */
export function loadEnvFile(): void {
  try {
    process.loadEnvFile('.env');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
  }
}
