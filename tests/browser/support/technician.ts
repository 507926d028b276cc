import type { Page } from 'playwright-core'
import type { InstallLine } from '../../integration/support/install-line.ts'

/** A technician at the page Verification with a hand at the machine: opens a test, types, captures, keeps. */
export class Technician {
  readonly page: Page
  readonly line: InstallLine
  readonly record: string

  constructor(page: Page, line: InstallLine, record: string) {
    this.page = page
    this.line = line
    this.record = record
  }

  async open(test: string): Promise<void> {
    await this.page.getByTestId(`test-${test}`).click()
    await this.page.waitForFunction((id) => new URLSearchParams(location.search).get('test') === id, test)
    await this.page.getByTestId('keep').or(this.page.getByTestId('not-done-text')).first().waitFor()
  }

  async type(field: string, value: number): Promise<void> {
    await this.page.getByTestId(`field-${field}`).fill(String(value))
  }

  /** Types into a field of a capture, which is told with it. */
  async typeWith(capture: string, field: string, value: number): Promise<void> {
    await this.page.getByTestId(`capture-${capture}`).getByTestId(`field-${field}`).fill(String(value))
  }

  /** A radio button by its words. */
  async choose(field: string, words: string): Promise<void> {
    await this.page.getByTestId(`field-${field}`).getByRole('radio', { name: words, exact: true }).check()
  }

  /** Takes a capture and waits until it is there. */
  async take(capture: string, withinMs = 90_000): Promise<void> {
    const panel = this.page.getByTestId(`capture-${capture}`)
    const before = Number(await panel.getAttribute('data-taken'))
    await this.page.getByTestId(`take-${capture}`).click()
    await this.page.waitForFunction(
      ([id, count]) =>
        Number(document.querySelector(`[data-testid="capture-${id}"]`)?.getAttribute('data-taken')) > Number(count),
      [capture, before] as const,
      { timeout: withinMs },
    )
  }

  /** Starts a capture that waits for a movement; the hand moves after its rest. */
  async takeWhile(capture: string, move: () => Promise<unknown>): Promise<void> {
    const panel = this.page.getByTestId(`capture-${capture}`)
    await this.page.getByTestId(`take-${capture}`).click()
    await panel.getByText(/now: move it/).waitFor({ timeout: 60_000 })
    await move()
    await this.page.waitForFunction(
      (id) => Number(document.querySelector(`[data-testid="capture-${id}"]`)?.getAttribute('data-taken')) > 0,
      capture,
      { timeout: 60_000 },
    )
  }

  /** Keeps what is typed and captured; resolves to how the test then stands. */
  async keep(test: string): Promise<string> {
    const entries = this.page.locator('[data-testid^="entry-"]')
    const before = await entries.count()
    await this.page.getByTestId('keep').click()
    await this.page.waitForFunction(
      (count) => document.querySelectorAll('[data-testid^="entry-"]').length > count,
      before,
      { timeout: 60_000 },
    )
    return (await this.page.getByTestId(`test-${test}`).getAttribute('data-state')) ?? ''
  }

  async notDone(test: string, reason: string): Promise<void> {
    await this.open(test)
    const entries = this.page.locator('[data-testid^="entry-"]')
    const before = await entries.count()
    await this.page.getByTestId('not-done-text').fill(reason)
    await this.page.getByTestId('not-done-keep').click()
    await this.page.waitForFunction(
      (count) => document.querySelectorAll('[data-testid^="entry-"]').length > count,
      before,
      { timeout: 60_000 },
    )
  }
}
