import type { Misbehaviour } from './misbehaviour.ts'
import { ANSWERS } from './misbehaviours-of-answers.ts'
import { FIELDS } from './misbehaviours-of-fields.ts'
import { LINKS } from './misbehaviours-of-links.ts'

export const MISBEHAVIOURS: readonly Misbehaviour[] = [...ANSWERS, ...FIELDS, ...LINKS]
