import { z } from 'zod'

/** What the parts of the config file are made of. */
export const id = z
  .string()
  .regex(/^[a-z0-9][a-z0-9_-]{0,47}$/, 'use 1 to 48 of a–z, 0–9, - and _, starting with a letter or digit')
export const positive = z.number().positive()
