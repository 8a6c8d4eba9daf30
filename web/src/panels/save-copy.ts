/**
 * A copy of the open book, saved with the downloads.
 *
 * Enters: the open book. Leaves: a file.
 * Always true: the file is the whole book as it stands, also when the device did not keep it.
 * Never: sends anything.
 */
import { app } from './app.ts';
import { download, fileName } from './view.ts';

export async function saveCopy(): Promise<void> {
  const { bytes } = await app.engine.ask('save', {});
  download(fileName(app.state?.title ?? '', '.zip'), bytes, 'application/zip');
  app.tell('A copy was saved with your downloads.');
}
