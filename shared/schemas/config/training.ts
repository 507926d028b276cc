import { z } from 'zod'

/** Where the training desk of a simulated machine is asked; written by the simulator, never by hand. */
export const training = z.strictObject({
  url: z
    .string()
    .regex(
      /^http:\/\/(127\.0\.0\.1|localhost|\[::1\]):\d{1,5}$/,
      'expected http://127.0.0.1:PORT: the training desk runs on this machine',
    )
    .describe('Address of the training desk, on this machine alone'),
  secret_file: z
    .string()
    .min(1)
    .describe('File with the secret that the desk wants to see, relative to the config; never shown by any answer'),
})
