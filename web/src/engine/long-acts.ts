/**
 * Acts that take longer than a moment: what they are called, and how long they have been going on.
 *
 * Enters: the beginning and the end of each request to the book worker. Leaves: the act to show, if any.
 * Always true: after half a second an act is shown, the one that began first; the worker does one after another.
 * Never: shows what has a progress of its own (a file on its way in) or waits for a person (another tab).
 */
import type { BookCall } from './protocol.ts';

/** After this many milliseconds an act is shown. */
const SHOWN_AFTER_MS = 500;

const WORDS: Partial<Record<BookCall, string>> = {
  open: 'Opening the book', openCopy: 'Opening the book', create: 'Making the book', save: 'Packing the book into a file',
  change: 'Making the change', undo: 'Taking the step back', redo: 'Doing the step again', replace: 'Replacing', countReplace: 'Counting the cells',
  setView: 'Sorting and filtering', find: 'Looking for it', values: 'Listing the values', rangeFacts: 'Adding up the selection',
  bringBack: 'Bringing the version back', versionDifference: 'Looking for what differs', versions: 'Listing the versions', versionBytes: 'Fetching the version',
  groups: 'Working out the groups', problems: 'Looking for problems', acceptedProblems: 'Looking for problems', comparable: 'Looking for what can be compared', compareResponses: 'Looking for what can be compared',
  handOverPreview: 'Working out what would go', resultsFile: 'Making the file', csv: 'Writing the table', workList: 'Making the work list', padCsv: 'Writing the entries',
};
/** These say by themselves how far they are, or wait for somebody. */
const QUIET: readonly BookCall[] = ['importRead', 'importChoose', 'importMerge', 'importRows', 'importNames', 'importName', 'importCommit', 'takeOver', 'letGo'];

export interface LongAct { call: BookCall; words: string; since: number }

export class LongActs {
  private readonly going = new Set<LongAct>();
  private readonly long = new Set<LongAct>();

  constructor(private readonly changed: () => void) {}

  /** Follows an act; call what it gives when it has ended. */
  begin(call: BookCall): () => void {
    if (QUIET.includes(call)) return () => undefined;
    const act = { call, words: WORDS[call] ?? 'Working', since: Date.now() };
    this.going.add(act);
    const timer = setTimeout(() => {
      this.long.add(act);
      this.changed();
    }, SHOWN_AFTER_MS);
    return () => {
      clearTimeout(timer);
      this.going.delete(act);
      if (this.long.delete(act)) this.changed();
    };
  }

  /** The act to show: of those that take long the one that the worker is at. */
  get shown(): LongAct | undefined {
    if (this.long.size === 0) return undefined;
    const [first] = this.going;
    return first;
  }
}
