/** What cannot be done as it was said; the sentence is for whoever said it. */
export class NotPossible extends Error {}
