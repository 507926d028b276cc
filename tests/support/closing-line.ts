import { writeFileSync } from 'node:fs'
import type { Reporter, TestModule } from 'vitest/node'

/**
 * Counts for the closing line of `npm test`. A file that could not be imported and an error that
 * no test caught are failures too: a run without them would look better than it was.
 */
export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], unhandled: readonly unknown[]): void {
    const counts = { passed: 0, failed: unhandled.length, skipped: 0 }
    for (const module of modules) {
      counts.failed += module.errors().length
      for (const test of module.children.allTests()) {
        const { state } = test.result()
        if (state === 'passed') counts.passed++
        else if (state === 'skipped') counts.skipped++
        else counts.failed++
      }
    }
    const file = process.env.EVENPULL_COUNTS
    if (file !== undefined) writeFileSync(file, JSON.stringify(counts))
  }
}
