// Names that build.mjs supplies. Nothing here exists at run time by itself.

/** The source text of a bundled worker: `import source from 'worker:engine/book-worker.ts'`. */
declare module 'worker:*' {
  const source: string;
  export default source;
}

/** A style sheet; build.mjs bundles it beside the script that imports it. */
declare module '*.css';

/** Which of the three homes this script was built for. */
declare const FAIRPEN_HOME: 'site' | 'one-file' | 'results-file';

/** True in the site built by `cargo xtask serve`: the service worker then prefers the network. */
declare const FAIRPEN_DEVELOPMENT: boolean;

/** Files the service worker keeps, relative to itself. Only defined there. */
declare const FAIRPEN_PRECACHE: readonly string[];

/** Changes whenever any kept file changes. Only defined in the service worker. */
declare const FAIRPEN_BUILD: string;
