import { z } from 'zod'
import { actNeeds, cause } from './common.ts'

/** What there is to choose from. */
export const trainingCatalogue = z.strictObject({
  /** Invented lines; `zones` are those of the config while the line is set up. */
  lines: z.array(z.strictObject({ id: z.string(), title: z.string(), zones: z.array(z.string()) })),
  /** From one clear fault to two masked ones, easiest first. */
  levels: z.array(
    z.strictObject({
      id: z.string(),
      title: z.string(),
      about: z.string(),
      /** Most faults there may be; with `mayBeNothing` also none. */
      mostFaults: z.int(),
      mayBeNothing: z.boolean(),
    }),
  ),
  /** The track, in its order. */
  lessons: z.array(
    z.strictObject({
      id: z.string(),
      title: z.string(),
      /** The one thing of the trade it teaches. */
      teaches: z.string(),
      line: z.string(),
      /** What the trainee is told at the start. */
      task: z.string(),
      hints: z.int(),
    }),
  ),
  /** Choices of an answer: every cause there is, whatever is hidden. */
  causes: z.array(z.strictObject({ id: cause, title: z.string(), oneSided: z.boolean() })),
  remedies: z.array(z.strictObject({ id: z.string(), title: z.string() })),
})

/** One argument of an act, for a field of a form. */
const actArgument = z.strictObject({
  name: z.string(),
  title: z.string(),
  /** `direction`: degrees, or the words in `choices`. `rope`: 'web', or an object { arriving_deg, leaving_deg }. */
  kind: z.enum(['number', 'choice', 'direction', 'rope']),
  /** Of a number; null for what has none. */
  unit: z.string().nullable(),
  least: z.number().nullable(),
  most: z.number().nullable(),
  choices: z.array(z.strictObject({ value: z.string(), title: z.string() })),
  required: z.boolean(),
  /** Taken when it is left out; null: none. */
  standard: z.union([z.number(), z.string()]).nullable(),
})

const trainingAct = z.strictObject({
  id: z.string(),
  title: z.string(),
  /** Where it stands in the list: at the controls, web and roller, loads by hand, fit, cables and amplifier. */
  group: z.enum(['controls', 'web', 'loads', 'fit', 'cables']),
  /** What it costs, s; what depends on its arguments (ramps, waiting) comes on top. */
  seconds: z.number(),
  caution: z.string().nullable(),
  needs: actNeeds,
  args: z.array(actArgument),
})
export const trainingActs = z.strictObject({ acts: z.array(trainingAct) })

export type TrainingCatalogue = z.infer<typeof trainingCatalogue>
export type ActArgument = z.infer<typeof actArgument>
export type TrainingAct = z.infer<typeof trainingAct>
export type TrainingActs = z.infer<typeof trainingActs>
