import { defineConfig } from 'vitest/config'

/** Unit and published tests run side by side; sockets, processes and browsers one file at a time. */
export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  test: {
    projects: [
      {
        extends: true,
        test: {
          name: 'pure',
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: ['tests/{integration,browser}/**'],
          testTimeout: 60_000,
          hookTimeout: 60_000,
        },
      },
      {
        extends: true,
        test: {
          name: 'integration',
          sequence: { groupOrder: 1 },
          include: ['tests/integration/**/*.test.ts'],
          fileParallelism: false,
          testTimeout: 180_000,
          hookTimeout: 180_000,
        },
      },
      {
        extends: true,
        test: {
          name: 'browser',
          sequence: { groupOrder: 2 },
          include: ['tests/browser/**/*.test.ts'],
          fileParallelism: false,
          testTimeout: 240_000,
          hookTimeout: 240_000,
        },
      },
    ],
  },
})
