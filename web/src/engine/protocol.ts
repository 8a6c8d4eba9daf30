/**
 * What page and workers say to each other.
 *
 * Enters and leaves: nothing; these are the shapes of the messages.
 * Always true: every request has a number, and every answer carries the number of its request.
 * Never: carries functions, elements or anything a worker could not hold.
 */
import type {
  BookDifferenceInfo, BookState, CardInfo, Change, ColumnInfo, ComparableColumn, CompareRequest, ComparisonView, DoubleInfo, FormulaCheck, FormulaCompletion, FormulaFunction,
  GroupsView, HandOverPreview, HandOverRequest, ImportChoices, ImportMergeChoices, ImportName, ImportPreview, ImportRow, LookParts, NamedByInfo, NamedInfo, NameOffer, PadAnimal, PadDone, PadDoubts, PadEntry, ProblemGroup, RangeFact, Refusal, RememberedFile, ResponseOption,
  ReplaceCount, ReplaceRequest, RowsAside, RowsRequest, SeenInfo, SeenRequest, SettingsForm, SheetLook, TrialRequest, TrialView, ValueCount, ViewSpec, WorkingInfo,
} from './generated/core.js';
import type { VersionList } from './book-versions.ts';
import type { BookMeta } from '../store/device.ts';
import type { Contents } from '../store/in-memory.ts';

export type Bytes = Uint8Array<ArrayBuffer>;

/** A window of rows as it crosses: cell texts joined by U+001F, row by row. */
export interface WindowAnswer {
  rowKeys: Uint32Array;
  text: string;
  flags: Uint8Array;
  values: Float64Array;
}

/** Where the book is kept and how far. */
export interface Saved {
  where: 'device' | 'memory' | 'read-only';
  /** Milliseconds since 1970, of the last change that is safe; 0 if none. */
  at: number;
}

/** An open book as the page sees it. */
export interface Opened {
  book: BookMeta;
  state: BookState;
  saved: Saved;
  /** What a person must know about the opening: damaged records, set-aside changes, a second tab. */
  remarks: string[];
}

/** A change that was accepted. `opened`: the step led to another version of the whole book. */
export interface Changed { state: BookState; saved: Saved; opened?: Opened }

export interface NamedBytes { name: string; bytes: Bytes }

/** Everything the book worker can be asked, with what it answers. */
export interface BookCalls {
  books: { ask: Record<never, never>; answer: { books: BookMeta[]; where: 'device' | 'memory' } };
  create: { ask: { title: string; sample: boolean; files: NamedBytes[] }; answer: Opened };
  /** `carefully`: record by record, after the engine stopped while playing them all at once. `again`: this tab had the book a moment ago. */
  open: { ask: { id: string; carefully: boolean; again?: boolean }; answer: Opened };
  /** `title` in place of the one in the file. */
  openCopy: { ask: NamedBytes & { title?: string }; answer: Opened };
  /** Writes down what is on its way, then lets another tab write; this one reads from then on. */
  letGo: { ask: Record<never, never>; answer: Saved };
  /** Waits until no other tab writes, reads the book anew from the device and may write from then on; `null` when the waiting was ended. `ask`: asks the other tab to let go. */
  takeOver: { ask: { ask: boolean }; answer: Opened | null };
  /** Ends the waiting of `takeOver`. */
  waitNoMore: { ask: Record<never, never>; answer: null };
  close: { ask: Record<never, never>; answer: null };
  remove: { ask: { id: string }; answer: null };
  save: { ask: Record<never, never>; answer: { bytes: Bytes; revision: number } };
  change: { ask: { change: Change }; answer: Changed };
  undo: { ask: Record<never, never>; answer: Changed };
  redo: { ask: Record<never, never>; answer: Changed };
  versions: { ask: Record<never, never>; answer: VersionList };
  /** What differs between a version and the book as it stands. */
  versionDifference: { ask: { id: number }; answer: BookDifferenceInfo };
  versionBytes: { ask: { id: number }; answer: { bytes: Bytes; title: string } };
  /** Puts a version in the place of the book, which becomes a version itself first. */
  bringBack: { ask: { id: number }; answer: Opened };
  takeOffRows: { ask: { request: RowsRequest }; answer: Changed & { words: string } };
  takenOffKeys: { ask: { sheet: string }; answer: Uint32Array };
  /** Rows taken off that would stand twice if they came back. */
  doubles: { ask: { sheet: string; rowKeys: number[] }; answer: DoubleInfo[] };
  bringBackKeys: { ask: { sheet: string; rowKeys: number[] }; answer: Changed & { words: string } };
  /** `at` is a position of the view. */
  insertRows: { ask: { sheet: string; at: number; nRows: number }; answer: Changed };
  /** Hiding is of the view alone and leaves no record. */
  hideRows: { ask: { request: RowsRequest }; answer: number };
  showHiddenRows: { ask: { sheet: string }; answer: null };
  rowsAside: { ask: { sheet: string }; answer: RowsAside };
  settings: { ask: Record<never, never>; answer: SettingsForm };
  /** `part`: name of the sheet in a spreadsheet file, or empty; `today`: year-month-day. */
  importRead: { ask: { name: string; part: string; today: string; file: Blob }; answer: ImportPreview };
  /** Reads the file as if none like it had come in before. */
  importAnew: { ask: Record<never, never>; answer: ImportPreview };
  remembered: { ask: Record<never, never>; answer: RememberedFile[] };
  importChoose: { ask: { choices: ImportChoices }; answer: ImportPreview };
  importMerge: { ask: { choices: ImportMergeChoices }; answer: ImportPreview };
  importRows: { ask: { first: number; n: number; kind: string }; answer: ImportRow[] };
  /** Names of the file that fit several animals. */
  importNames: { ask: { first: number; n: number }; answer: ImportName[] };
  /** `choice` is a place in `mayMean`; null leaves the name for later. */
  importName: { ask: { row: number; column: string; nth: number; choice: number | null }; answer: ImportPreview };
  importCancel: { ask: Record<never, never>; answer: null };
  importCommit: { ask: Record<never, never>; answer: Changed };
  columns: { ask: { sheet: string }; answer: ColumnInfo[] };
  look: { ask: { sheet: string }; answer: SheetLook };
  /** Widths, order and filters of rows: kept, and no step of undo. */
  keepLook: { ask: { sheet: string; look: LookParts }; answer: Changed };
  setView: { ask: { view: ViewSpec }; answer: number };
  window: { ask: { sheet: string; first: number; nRows: number; columns: string[] }; answer: WindowAnswer };
  raw: { ask: { sheet: string; rowKey: number; column: string }; answer: string };
  remark: { ask: { sheet: string; rowKey: number; column: string }; answer: string };
  /** What the names in a cell stand for. */
  namesAt: { ask: { sheet: string; rowKey: number; column: string }; answer: NamedInfo[] };
  /** Names to offer; `rowKey` is null for a row to come. */
  namesLike: { ask: { sheet: string; rowKey: number | null; column: string; typed: string; most: number }; answer: NameOffer[] };
  /** One animal or place and where else it stands; nothing for a row that is neither. */
  card: { ask: { sheet: string; rowKey: number }; answer: CardInfo[] };
  /** Who names the animal of a row by the name that `text` is typed over; nothing where nobody does. */
  namedBy: { ask: { sheet: string; rowKey: number; column: string; text: string }; answer: NamedByInfo[] };
  retag: { ask: { sheet: string; rowKey: number; what: string; name: string; from: string }; answer: Changed };
  keepAsCows: { ask: { rowKeys: number[]; from: string }; answer: Changed };
  values: { ask: { sheet: string; column: string }; answer: ValueCount[] };
  edge: { ask: { sheet: string; from: number; column: string; direction: number }; answer: number };
  position: { ask: { sheet: string; rowKey: number }; answer: number };
  find: { ask: { sheet: string; text: string; from: number; columns: string[] }; answer: number };
  rangeFacts: { ask: { sheet: string; first: number; last: number; columns: string[] }; answer: RangeFact[] };
  countReplace: { ask: { request: ReplaceRequest }; answer: ReplaceCount };
  replace: { ask: { request: ReplaceRequest }; answer: Changed };
  working: { ask: { rowKey: number; column: string }; answer: WorkingInfo };
  /** The same of a cell of a column with a formula of her own, in any sheet. */
  calculatedWorking: { ask: { sheet: string; rowKey: number; column: string }; answer: WorkingInfo };
  /** `column` is empty for a column to come; `rowKeys` are the rows to show its values of. */
  checkFormula: { ask: { sheet: string; column: string; text: string; rowKeys: number[] }; answer: FormulaCheck };
  completeFormula: { ask: { sheet: string; text: string; cursor: number }; answer: FormulaCompletion };
  formulaFunctions: { ask: Record<never, never>; answer: FormulaFunction[] };
  groups: { ask: Record<never, never>; answer: GroupsView };
  problems: { ask: { perGroup: number }; answer: ProblemGroup[] };
  acceptedProblems: { ask: { perGroup: number }; answer: ProblemGroup[] };
  padAnimals: { ask: { task: string; text: string; day: string; most: number }; answer: PadAnimal[] };
  padDoubts: { ask: { entry: PadEntry }; answer: PadDoubts };
  padEnter: { ask: { entry: PadEntry }; answer: Changed };
  padTakeBack: { ask: { task: string; rowKey: number }; answer: Changed };
  padToday: { ask: { task: string; day: string }; answer: PadDone[] };
  padCsv: { ask: { task: string; day: string }; answer: Bytes };
  workListPlaces: { ask: Record<never, never>; answer: ValueCount[] };
  workList: { ask: { place: string }; answer: Bytes };
  /** Whether records like those of a pair show a difference. */
  couldSee: { ask: { request: SeenRequest }; answer: SeenInfo };
  /** Next year's cows allotted to places at random. */
  planTrial: { ask: { request: TrialRequest }; answer: TrialView };
  trialList: { ask: { request: TrialRequest }; answer: Bytes };
  comparable: { ask: Record<never, never>; answer: ComparableColumn[] };
  compareResponses: { ask: Record<never, never>; answer: ResponseOption[] };
  handOverPreview: { ask: { request: HandOverRequest }; answer: HandOverPreview };
  resultsFile: { ask: { template: string; request: HandOverRequest }; answer: string };
  csv: { ask: { table: string }; answer: string };
}
export type BookCall = keyof BookCalls;

export interface AnalysisCalls {
  load: { ask: { bytes: Bytes; revision: number }; answer: null };
  compare: { ask: { request: CompareRequest }; answer: { view: ComparisonView; revision: number } };
}
export type AnalysisCall = keyof AnalysisCalls;

/** The first message to either worker. `held` is what an earlier worker kept in memory. */
export interface Start { kind: 'start'; module: WebAssembly.Module; held: Contents | null }

export interface Ask<C> { kind: 'ask'; id: number; call: C; with: unknown }

export type FromWorker =
  | { kind: 'started'; version: string; where: 'device' | 'memory' }
  | { kind: 'answer'; id: number; answer: unknown }
  | { kind: 'refused'; id: number; refusal: Refusal }
  /** Another tab asks for the book: finish what is being typed, then `letGo`. */
  | { kind: 'askedFor' }
  /** Said between the answers: how far the open book is saved, and what a person must know. */
  | { kind: 'saved'; saved: Saved }
  | { kind: 'remark'; remark: string }
  | { kind: 'progress'; id: number; done: number; of: number; rows: number; words?: string }
  /** The engine stopped. The worker is of no more use; `held` is what it kept in memory, if that was all there was. */
  | { kind: 'stopped'; id: number; call: string; message: string; held: Contents | null };

/** A refusal from the engine, with its code and its hint. */
export class Refused extends Error {
  readonly code: string;
  readonly hint: string;
  constructor(refusal: Refusal) {
    super(refusal.hint === '' ? refusal.message : `${refusal.message} ${refusal.hint}`);
    this.code = refusal.code;
    this.hint = refusal.hint;
  }
}
