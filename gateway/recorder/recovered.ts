/** Recording goes back to full only when so many times the free space asked for is there again. */
export const RECOVERED = 1.25
