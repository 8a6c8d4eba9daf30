/**
 * Whether the browser has promised not to clear what is kept here.
 *
 * Enters: nothing. Leaves: the browser's word.
 * Always true: `unknown` when the browser does not say.
 * Never: asks the person twice; browsers decide by themselves or ask once.
 */
export type Keeping = 'promised' | 'may-clear' | 'unknown';

export async function askToKeep(ask: boolean): Promise<Keeping> {
  const storage = (navigator as Partial<Navigator>).storage;
  if (storage?.persisted === undefined) return 'unknown';
  try {
    if (await storage.persisted()) return 'promised';
    if (ask && storage.persist !== undefined && (await storage.persist())) return 'promised';
    return 'may-clear';
  } catch {
    return 'unknown';
  }
}
