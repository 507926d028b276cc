/** At the beginning of a text and after whatever a program may part cells at; also in their full-width forms. */
const FORMULA = /(^|[,;|:])(?=[\s"']*[=+\-@＝＋－＠])/g

/**
 * A name as it stands in a table. A spreadsheet takes a line of remarks apart at its commas like any other, and a cell that
 * begins with = + − @ for a formula, so an apostrophe goes before it (OWASP, "CSV Injection": M).
 */
export const asNoFormula = (text: string): string => text.replaceAll(FORMULA, "$1'")
