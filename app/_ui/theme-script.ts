export const THEME_KEY = 'evenpull.theme'
export const CONTRAST_KEY = 'evenpull.contrast'

/**
 * Runs before the first paint, so that a dark cabin never sees a white flash. Set into the exported
 * HTML as text; the gateway allows exactly this script by its hash.
 */
export const THEME_SCRIPT = `try{var c=localStorage.getItem('${THEME_KEY}'),h=localStorage.getItem('${CONTRAST_KEY}')}catch(e){}
document.documentElement.dataset.contrast=h==='high'||h==='normal'?h:matchMedia('(prefers-contrast: more)').matches?'high':'normal'
document.documentElement.dataset.theme=c==='light'||c==='dark'?c:matchMedia('(prefers-color-scheme: dark)').matches?'dark':'light'`
