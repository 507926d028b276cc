import type { Side } from '../../shared/sample.ts'
import type { VerificationContext } from './context.ts'
import { missingFields, perSide, said, yesNoField } from './fields.ts'
import { answered } from './figure.ts'
import { notDone, resultOf } from './result.ts'
import type { VerificationTest } from './test.ts'

interface Question {
  readonly id: string
  /** As a question whose right answer is yes. */
  readonly asks: string
  readonly perSide: boolean
  readonly hint?: string
}

type Words = Pick<VerificationTest, 'id' | 'stage' | 'title' | 'proves' | 'effect' | 'caution' | 'steps'>

export interface YesNoSpec extends Words {
  readonly questions: readonly Question[]
  readonly hints: readonly string[]
  readonly notFor?: (context: VerificationContext) => string | null
}

/** A test that is looked at and answered: every question's right answer is yes. */
export function yesNoTest({ questions, hints, notFor, ...words }: YesNoSpec): VerificationTest {
  const suffixes = (context: VerificationContext, { perSide: each }: Question): readonly (Side | null)[] =>
    each ? context.sides : [null]
  return {
    ...words,
    asFoundAsLeft: true,
    plan: (context) => ({
      fields: questions.flatMap(({ id, asks, perSide: each, hint }) => {
        const extra = hint === undefined ? {} : { hint }
        if (!each) return [yesNoField(id, asks, extra)]
        return perSide(context.sides, (suffix, where, side) => [
          yesNoField(`${id}.${suffix}`, asks + where, { side, ...extra }),
        ])
      }),
      captures: [],
      limits: [],
      notFor: notFor?.(context) ?? null,
    }),
    judge(context, { values }) {
      const missing = missingFields(this.plan(context).fields, values)
      if (missing !== '') return notDone(`not answered: ${missing}`)
      return resultOf(
        questions.flatMap((question) =>
          suffixes(context, question).map((side) =>
            answered(
              { id: question.id, title: question.asks, side },
              said(values, side === null ? question.id : `${question.id}.${side}`) === true,
              'yes',
              'looked at on site',
            ),
          ),
        ),
        hints,
      )
    },
  }
}
