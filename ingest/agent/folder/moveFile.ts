import { access, mkdir, rename } from 'node:fs/promises';
import path from 'node:path';

/** Moves a file into a folder beside it, made if need be, under a name that is free there; answers that name. */
export async function moveFile(file: string, folderName: string): Promise<string> {
  const folder = path.join(path.dirname(file), folderName);
  await mkdir(folder, { recursive: true });
  const { name, ext } = path.parse(file);
  for (let copy = 1; ; copy++) {
    const target = path.join(folder, copy === 1 ? `${name}${ext}` : `${name}-${copy}${ext}`);
    if (await exists(target)) continue;
    await rename(file, target);
    return target;
  }
}

function exists(file: string): Promise<boolean> {
  return access(file).then(
    () => true,
    () => false,
  );
}
