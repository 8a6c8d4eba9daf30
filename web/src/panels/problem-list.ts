/**
 * Problems by kind, as they stand in the problems view and in the import dialog.
 *
 * Enters: groups of problems. Leaves: a list, each with where, what was read, what is wrong and how to mend it.
 * Always true: says how many there are in all when only the first are listed.
 * Never: makes colour the only sign of how bad it is.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { ProblemGroup, ProblemInfo } from '../engine/generated/core.js';

export const SEVERITY: Record<string, string> = { error: 'Stops a figure', doubtful: 'Doubtful', remark: 'Worth knowing' };
const ORDER = ['error', 'doubtful', 'remark'];

/** What can be done with the problems of a list. */
export interface ProblemDeed {
  words: string;
  /** The same done to all of a kind. */
  ofAll(n: string): string;
  act(problems: readonly ProblemInfo[]): void;
}

/** A step that mends a problem at once; `null` for problems that have none. */
export type Mend = (problem: ProblemInfo) => { words: string; act: () => void } | null;

export function problemList(
  groups: readonly ProblemGroup[], openFirst: boolean, href: (problem: ProblemInfo) => string | null, deed?: ProblemDeed, mend?: Mend,
): TemplateResult {
  const sorted = [...groups].sort((a, b) => ORDER.indexOf(a.severity) - ORDER.indexOf(b.severity) || b.n - a.n);
  return html`<div class="problem-groups">${sorted.map((group, index) => html`
    <details class="problem-group ${group.severity}" ?open=${openFirst && index === 0}>
      <summary><span class="severity ${group.severity}">${SEVERITY[group.severity] ?? group.severity}</span>
        <span class="problem-title">${group.title}</span><span class="count soft">${group.n.toLocaleString('en-US')}</span></summary>
      ${sayTheSame(group.problems)
        ? html`<p class="problem-common">${group.problems[0]?.message} <span class="soft">${group.problems[0]?.hint}</span></p>
          <ul class="places-alone">${group.problems.map((problem) => placeAlone(problem, href(problem), deed, mend))}</ul>`
        : html`<ul>${group.problems.map((problem) => one(problem, href(problem), deed, mend))}</ul>`}
      ${deed !== undefined && group.problems.length > 1 && group.problems.length === group.n
        ? html`<p class="row end"><button type="button" class="quiet" @click=${() => deed.act(group.problems)}>${deed.ofAll(group.n.toLocaleString('en-US'))}</button></p>` : nothing}
      ${group.n > group.problems.length
        ? html`<p class="soft">The first ${group.problems.length} of ${group.n.toLocaleString('en-US')} are listed. Mend these and the next come up.</p>` : nothing}
    </details>`)}</div>`;
}

/** What is said and advised is the same for all: then it is said once, and the places stand under it. */
const sayTheSame = ([first, ...others]: readonly ProblemInfo[]): boolean =>
  first !== undefined && others.length > 0 && others.every(({ message, hint }) => message === first.message && hint === first.hint);

const where = (problem: ProblemInfo, href: string | null): TemplateResult => html`<span class="problem-place">${
  href === null ? problem.place : html`<a href=${href}>${problem.place}</a>`}${problem.read === '' ? nothing
  : html` <span class="soft">read: </span><q class="read">${problem.read}</q>`}</span>`;

const doing = (problem: ProblemInfo, deed: ProblemDeed | undefined): TemplateResult | typeof nothing =>
  deed === undefined || problem.sheet === '' ? nothing
    : html`<button type="button" class="quiet deed" aria-label=${`${deed.words}: ${problem.place}`} @click=${() => deed.act([problem])}>${deed.words}</button>`;

const mending = (problem: ProblemInfo, mend: Mend | undefined): TemplateResult | typeof nothing => {
  const step = mend?.(problem) ?? null;
  return step === null ? nothing : html`<button type="button" class="deed" aria-label=${`${step.words}: ${problem.place}`} @click=${step.act}>${step.words}</button>`;
};

const placeAlone = (problem: ProblemInfo, href: string | null, deed: ProblemDeed | undefined, mend: Mend | undefined): TemplateResult =>
  html`<li>${where(problem, href)}${mending(problem, mend)}${doing(problem, deed)}</li>`;

function one(problem: ProblemInfo, href: string | null, deed: ProblemDeed | undefined, mend: Mend | undefined): TemplateResult {
  return html`<li>
    ${where(problem, href)}
    <span>${problem.message}</span>
    ${problem.hint === '' ? nothing : html`<span class="soft">${problem.hint}</span>`}
    ${mending(problem, mend)}${doing(problem, deed)}
  </li>`;
}
