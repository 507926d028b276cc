export const LANGUAGE_KEY = 'evenpull.language'
export const DECIMAL_KEY = 'evenpull.decimal'
/** Of the root element's dataset: the page is not shown before it speaks as chosen (globals.css). */
export const WAITING = 'telling'

/**
 * Runs before the first paint. The exported page is English with a decimal point; whoever reads another way does not
 * see it flash. Without scripts nothing is hidden.
 */
export const LANGUAGE_SCRIPT = `try{var l=localStorage.getItem('${LANGUAGE_KEY}'),m=localStorage.getItem('${DECIMAL_KEY}')}catch(e){}
if(l!=='en'&&l!=='de'){l='en';for(var n of navigator.languages||[]){if(/^de\\b/i.test(n)){l='de';break}if(/^en\\b/i.test(n))break}}
if(l!=='en'||m===','){document.documentElement.dataset.${WAITING}='wait'}`
