/** Languages that texts are kept in: English in the code, each other one in a file of its code in shared/texts. */
export const LANGUAGES = ['en', 'de'] as const
export type Language = (typeof LANGUAGES)[number]

export type DecimalMark = '.' | ','
/** As a language writes numbers. */
export const MARK_OF: Readonly<Record<Language, DecimalMark>> = { en: '.', de: ',' }

/** The decimal sign where it is named, in an address or on a command line. */
export const MARK_NAMED = { point: '.', comma: ',' } as const satisfies Record<string, DecimalMark>
export type DecimalName = keyof typeof MARK_NAMED
export const DECIMAL_SIGNS = ['point', 'comma'] as const satisfies readonly DecimalName[]
