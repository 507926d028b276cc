export type Paper = 'a4' | 'letter'

interface Sheet {
  /** On every sheet; what of it is not from the program went through `bare`. */
  readonly foot: string
  /** Before the number of a page, and between it and how many there are. */
  readonly pageWords: readonly [before: string, between: string]
  readonly paper: Paper | null
}

/** What may stand in a CSS string, whatever somebody put into a record. */
export const bare = (text: string): string => text.replace(/[^0-9A-Za-z-]/g, '').slice(0, 64)

/** Style of the one page: phone, screen, A4 and Letter alike; told apart by word, shape and dash, so that black and white is enough. Every sheet says whose it is. */
export function styleOf({ foot, pageWords: [before, between], paper }: Sheet): string {
  const size = paper === null ? '' : `size:${paper === 'a4' ? 'A4' : 'letter'};`
  const margins = `@bottom-left{content:"${foot}";font:8pt ${FACE};color:#4a5157}
@bottom-right{content:"${before}" counter(page) "${between}" counter(pages);font:8pt ${FACE};color:#4a5157}`
  return `${STYLE}@page{${size}margin:14mm 14mm 16mm;${margins}}\n`
}

const FACE = 'system-ui,"Segoe UI",Roboto,"Liberation Sans",sans-serif'

const STYLE = `
:root{--ink:#15181b;--soft:#4a5157;--line:#c4c7c5;--strong:#6a7177;--drive:#0072b2;--operator:#d55e00;--outside:#9b0f58}
*{box-sizing:border-box}
body{overflow-wrap:anywhere;margin:0 auto;max-width:62rem;padding:1.5rem;font:400 .9375rem/1.45 ${FACE};color:var(--ink);background:#fff;font-variant-numeric:tabular-nums}
h1,h2,h3,h4{line-height:1.2;text-wrap:balance}
h1{font-size:1.75rem;margin:0 0 .25rem}h2{font-size:1.25rem;margin:2rem 0 .5rem;border-top:2px solid var(--ink);padding-top:.5rem}
h3{font-size:1.0625rem;margin:1.5rem 0 .25rem}h4{font-size:.9375rem;margin:1rem 0 .25rem}
p{margin:.25rem 0;max-width:80ch}ul{margin:.25rem 0;padding-left:1.125rem}a{color:inherit;text-decoration-thickness:1px;text-underline-offset:.15em}
.soft,.under,.made,.how,.typed,.key,figcaption{color:var(--soft);font-size:.8125rem}.under{display:block}.under:empty{display:none}.number{white-space:nowrap}
.kind{color:var(--soft);margin:0}.where{font-size:1.0625rem}.signed{font-weight:600}
.digest,code,pre{font-family:ui-monospace,"Liberation Mono",monospace;font-size:.8125rem;overflow-wrap:anywhere}pre{white-space:pre-wrap;line-height:1.3}
.caution{border-left:4px solid var(--ink);padding-left:.75rem;font-weight:600}
.correction{border-left:4px solid var(--strong);padding-left:.75rem;font-weight:600}
.box{border:1px solid var(--ink);padding:.5rem .75rem;margin:.75rem 0;max-width:none}
.counts{display:flex;flex-wrap:wrap;gap:.5rem 1.5rem;list-style:none;padding:0;margin:.5rem 0}.counts b{font-size:1.25rem}
.lists{columns:2;column-gap:2rem}.list{margin:0 0 .75rem}.list h3{margin:.25rem 0;font-size:.9375rem;break-after:avoid}.list li{break-inside:avoid}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.symbols{position:absolute}
.mark{display:inline-flex;align-items:center;gap:.375rem;font-weight:600;font-size:.9375rem;white-space:nowrap}
.mark svg{flex:none;width:2.25rem;height:.9rem;fill:none;stroke:currentColor;stroke-width:2}
.filled{fill:currentColor;stroke:none}.open{fill:#fff}
.mark[data-state=outside]{color:var(--outside)}.mark[data-state=unknown],.mark[data-state=not-done],.mark[data-state=not-here]{color:var(--soft)}
dl{display:grid;grid-template-columns:max-content minmax(0,1fr);gap:.125rem 1rem;margin:.5rem 0;font-size:.8125rem}dt{color:var(--soft)}dd{margin:0}
table{border-collapse:collapse;width:100%;margin:.5rem 0;table-layout:fixed}th,td{border-bottom:1px solid var(--line);padding:.3125rem .75rem .3125rem 0;text-align:left;vertical-align:top;font-weight:400}
thead th{color:var(--soft);font-size:.8125rem}
.figures th:nth-child(1){width:33%}.figures th:nth-child(2){width:22%}.figures th:nth-child(3){width:21%}
.compared .number{display:block}.compact{font-size:.8125rem}.compact th,.compact td{padding-top:.125rem;padding-bottom:.125rem}.compact th:first-child{width:43%}.compact .group{font-weight:600;padding-top:.5rem}
.ruler{display:block;width:7.5rem;height:1rem;margin:.125rem 0}.ruler path{fill:none;stroke:var(--ink);stroke-width:1}.ruler .band{fill:#ebebe8}.ruler .u{stroke-width:2}.ruler .filled{fill:var(--ink);stroke:none}
.test{margin:0}.entry{margin:.5rem 0 0;padding:.25rem 0 0;border-top:1px solid var(--line)}.entry>h4{margin-top:.25rem}
.quiet{list-style:none;padding:0}.quiet li{border-top:1px solid var(--line);padding:.25rem 0}
.hints{font-size:.875rem}.how ul{margin:0}.how p{margin:.25rem 0 0}
figure{margin:.5rem 0;min-width:0}
.captures{display:grid;grid-template-columns:minmax(0,1fr);gap:.25rem 1rem}.captures[data-small=yes]{grid-template-columns:repeat(3,minmax(0,1fr))}.captures[data-pair=yes]{grid-template-columns:repeat(2,minmax(0,1fr))}
.captures figcaption b{color:var(--ink);font-weight:600}
.plot{display:block;width:100%;height:auto}.plot text{font-size:10px;fill:var(--soft)}.plot .end{text-anchor:end}.frame{fill:none;stroke:var(--strong)}.zero{stroke:var(--line);fill:none}
.trace{fill:none;stroke:var(--ink);stroke-width:1.25;stroke-linejoin:round}.trace[data-side=drive_side]{stroke:var(--drive)}.trace[data-side=operator_side]{stroke:var(--operator);stroke-dasharray:5 2}
.point{stroke:var(--ink);fill:var(--ink)}.point[data-side=drive_side]{stroke:var(--drive);fill:var(--drive)}.point[data-side=operator_side]{stroke:var(--operator);fill:none}
.photo img{display:block;max-width:100%;max-height:20rem}
@media screen and (max-width:44rem){body{padding:1rem}.lists{columns:1}
.captures[data-small=yes],.captures[data-pair=yes]{grid-template-columns:minmax(0,1fr)}
table,tbody,tr,th[scope=row],td{display:block}thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
tr{border-bottom:1px solid var(--line);padding:.375rem 0}tbody th,td{border:0;padding:.125rem 0}tbody th:nth-child(n){width:auto;font-weight:600}.compact td{display:inline;padding-right:.75rem}
td[data-of]::before{content:attr(data-of) ": ";color:var(--soft);font-size:.8125rem}dl{grid-template-columns:minmax(0,1fr)}dd{margin-bottom:.375rem}}
@media print{.counts{gap:2pt 9pt;font-size:8pt;margin:4pt 0}.counts b{font-size:12pt}.about{grid-template-columns:max-content minmax(0,1fr) max-content minmax(0,1fr)}.lists{font-size:8.5pt}.lists[data-many=yes]{columns:3;column-gap:1.25rem;font-size:7.5pt;line-height:1.3}.list{margin-bottom:5pt}body{max-width:none;padding:0;font-size:9pt}h1{font-size:17pt}h2{font-size:12.5pt;margin-top:14pt}h3{font-size:10.5pt;margin-top:11pt}h4{font-size:9pt}
.soft,.under,.made,.how,.typed,.key,figcaption,dl,pre,.digest,thead th,.compact{font-size:7.5pt}.list h3,.mark{font-size:9pt}.hints{font-size:8.5pt}a{text-decoration:none}
p{max-width:none}h2,h3,h4,.caution,.key{break-after:avoid}tr,figure,.counts,.box,.quiet li{break-inside:avoid}thead{display:table-header-group}p,li{orphans:3;widows:3}
.first{break-after:page}.photo img{max-height:70mm}.plot text{font-size:9px}}
`
