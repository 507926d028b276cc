import { type PathCandidate, pathCandidates, type RatioQuestion } from './path-candidates.ts'
import { entriesOf, ofSide } from './sided.ts'

/** A measured ratio that moved by less than this share of its standard uncertainty asks nothing new. */
const SAME_WITHIN = 0.25

/**
 * `pathCandidates` for a question that is put again and again: answered anew only when the path is another or a ratio has
 * moved noticeably. Trying every path costs milliseconds, a picture a fraction of one.
 */
export class RememberedCandidates {
  #last:
    | { readonly question: RatioQuestion; readonly place: unknown; readonly answer: readonly PathCandidate[] }
    | undefined

  /** @param place stands for the path: the same place, the same path. */
  of(question: RatioQuestion, place: unknown): readonly PathCandidate[] {
    if (this.#last === undefined || this.#last.place !== place || !isSame(this.#last.question, question))
      this.#last = { question, place, answer: pathCandidates(question) }
    return this.#last.answer
  }
}

function isSame(before: RatioQuestion, now: RatioQuestion): boolean {
  return entriesOf(now.measured).every(([side, { ratio, u }]) => {
    const last = ofSide(before.measured, side)
    return Math.abs(ratio - last.ratio) <= SAME_WITHIN * u && Math.abs(u - last.u) <= SAME_WITHIN * u
  })
}
