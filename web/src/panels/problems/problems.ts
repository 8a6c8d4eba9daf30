/**
 * Everything doubtful in the book, each a step from its cell.
 *
 * Enters: problems by kind. Leaves: links to cells.
 * Always true: says where, what was read, what is wrong, how to mend it.
 * Never: hides how many there are.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { ProblemGroup, ProblemInfo } from '../../engine/generated/core.js';
import { bringBackNamed } from '../animal/bring-back.ts';
import { problemList, type Mend } from '../problem-list.ts';
import { format, route } from '../route.ts';
import { Answer, counted, View, waiting } from '../view.ts';

/** Most accepted problems of a kind that are listed. */
const ACCEPTED_PER_KIND = 200;

const toCell = (problem: ProblemInfo): string | null =>
  problem.sheet === '' || problem.rowKey == null ? null : format(route('sheet', problem.sheet, problem.rowKey, problem.column));

export class Problems extends View {
  private readonly problems = new Answer<ProblemGroup[]>(this);
  private readonly accepted = new Answer<ProblemGroup[]>(this);

  protected override render(): TemplateResult {
    const { state, book } = this.app;
    if (state === undefined || book === undefined) return html``;
    const { errors, doubtful, remarks } = state.problems;
    const groups = this.problems.follow(`${this.app.standing} ${state.revision}`, () => this.app.problems());
    const parts = [
      errors > 0 ? counted(errors, 'thing stops a figure', 'things stop a figure') : '',
      doubtful > 0 ? counted(doubtful, 'is doubtful', 'are doubtful') : '',
      remarks > 0 ? counted(remarks, 'is worth knowing', 'are worth knowing') : '',
    ].filter((part) => part !== '');
    const accepted = this.accepted.follow(`${this.app.standing} ${state.revision}`, () => this.app.engine.ask('acceptedProblems', { perGroup: ACCEPTED_PER_KIND }));
    const n = state.problems.accepted;
    return html`<div class="answer"><h1>Problems</h1>
      <p class="lead sentence">${parts.length === 0 ? (n === 0 ? 'Nothing is doubtful in this book.' : 'Nothing else is doubtful in this book.') : `${parts.join(', ')}.`}</p>
      <p class="soft">Rows with problems stay in the book. A place name below leads to its cell. What is right as it stands can be let stand: it is then listed at the end, until the cell says something else.</p>
      ${groups === undefined ? waiting(this.problems, 'the problems') : problemList(groups, true, toCell, this.app.readOnly ? undefined : this.letStand, this.app.readOnly ? undefined : this.mend)}
      ${n === 0 ? nothing : html`<h2>${counted(n, 'problem')} you let stand</h2>
        ${accepted === undefined ? waiting(this.accepted, 'these problems') : problemList(accepted, false, toCell, this.app.readOnly ? undefined : this.takeUp)}`}</div>`;
  }

  private readonly letStand = { words: 'Let it stand', ofAll: (n: string): string => `Let all ${n} stand`, act: (problems: readonly ProblemInfo[]): void => this.accept(problems, true) };
  private readonly takeUp = { words: 'Take it up again', ofAll: (n: string): string => `Take all ${n} up again`, act: (problems: readonly ProblemInfo[]): void => this.accept(problems, false) };

  /** Who was taken off and is named can come back from here. */
  private readonly mend: Mend = ({ code, sheet, rowKey, column }) => code !== 'check.name.taken_off' || rowKey == null ? null
    : { words: 'Bring back', act: () => { void bringBackNamed(sheet, rowKey, column).catch((cause: unknown) => this.app.trouble(cause)); } };

  private accept(problems: readonly ProblemInfo[], accepted: boolean): void {
    const doubts = problems.map(({ sheet, rowKey, column, code, read }) => ({ sheet, rowKey, column, code, read }));
    void this.app.change({ do: 'accept', doubts, accepted }).catch((cause: unknown) => this.app.trouble(cause));
  }
}

customElements.define('fp-problems', Problems);
