/** Where in HTML and SVG texts stand: the page and the printed report translate the same. */

/** Attributes whose text a reader sees or hears. */
export const TEXT_ATTRIBUTES = [
  'title',
  'aria-label',
  'aria-description',
  'aria-placeholder',
  'aria-roledescription',
  'aria-valuetext',
  'placeholder',
  'alt',
  'label',
  'data-of',
] as const

/** Elements whose text is for machines. */
export const CODE_ELEMENTS: ReadonlySet<string> = new Set(['code', 'pre', 'kbd', 'samp', 'script', 'style', 'textarea'])
