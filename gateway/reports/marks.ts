import { Html, html } from './html.ts'
import type { Standing } from './standing.ts'
import { STANDING_WORDS } from './words.ts'

/**
 * The marks of the page as symbols, drawn once and used by name: two limit marks, and where the value with its
 * uncertainty stands to them. Told apart by shape alone, so that paper needs no colour.
 */
export const MARK_SYMBOLS = new Html(`<svg width="0" height="0" class="symbols" aria-hidden="true">
<symbol id="mark-inside" viewBox="0 0 50 20"><g transform="translate(7 0)"><path d="M7 3H3v14h4M29 3h4v14h-4M10 10h16"/><circle class="filled" cx="18" cy="10" r="4.5"/></g></symbol>
<symbol id="mark-outside" viewBox="0 0 50 20"><path d="M7 3H3v14h4M29 3h4v14h-4"/><path class="filled" d="M38 4l10 6-10 6z"/></symbol>
<symbol id="mark-undecided" viewBox="0 0 50 20"><g transform="translate(7 0)"><path d="M7 3H3v14h4M29 3h4v14h-4M24 10h18"/><path class="open" d="M33 4.5l5.5 5.5-5.5 5.5-5.5-5.5z"/></g></symbol>
<symbol id="mark-unknown" viewBox="0 0 50 20"><g transform="translate(7 0)"><path d="M7 3H3v14h4M29 3h4v14h-4M10 10h3.5m3 0h3.5m3 0h3.5"/></g></symbol>
<symbol id="mark-not-done" viewBox="0 0 50 20"><g transform="translate(7 0)"><path d="M7 3H3v14h4M29 3h4v14h-4"/></g></symbol>
</svg>`)

/** The word of a standing with its mark; a test that does not apply has none. */
export function standingMark(state: Standing): Html {
  const picture = state === 'not-here' ? null : html`<svg aria-hidden="true"><use href="#mark-${state}"/></svg>`
  return html`<span class="mark" data-state="${state}">${picture}${STANDING_WORDS[state]}</span>`
}
