/** Of the one page: screen, A4 and Letter alike; told apart by word and shape, so that black and white is enough. */
export const STYLE = `
:root{--ink:#15181b;--soft:#4a5157;--line:#c9ccca;--drive:#0072b2;--operator:#d55e00;--outside:#9b0f58}
*{box-sizing:border-box}
body{overflow-wrap:anywhere;margin:0 auto;max-width:60rem;padding:1.5rem;font:400 0.9375rem/1.4 system-ui,"Segoe UI",Roboto,"Liberation Sans",sans-serif;color:var(--ink);background:#fff;font-variant-numeric:tabular-nums}
h1{font-size:1.6rem;margin:0 0 .25rem}h2{font-size:1.2rem;margin:1.75rem 0 .5rem;border-top:2px solid var(--ink);padding-top:.5rem}h3{font-size:1rem;margin:1.25rem 0 .25rem}
p{margin:.25rem 0;max-width:75ch}ul,ol{margin:.25rem 0;padding-left:1.25rem}li{overflow-wrap:anywhere}
.soft{color:var(--soft);font-size:.8125rem}.digest{font-family:ui-monospace,"Liberation Mono",monospace;overflow-wrap:anywhere}
.caution{border-left:4px solid var(--ink);padding-left:.75rem;font-weight:600}
dl{display:grid;grid-template-columns:minmax(7rem,max-content) minmax(0,1fr);gap:.15rem 1rem;margin:.5rem 0}dt{color:var(--soft)}dd{margin:0;overflow-wrap:anywhere}
table{border-collapse:collapse;width:100%;margin:.5rem 0;table-layout:fixed}th,td{border-bottom:1px solid var(--line);padding:.25rem .5rem .25rem 0;text-align:left;vertical-align:top;overflow-wrap:anywhere}
thead th{color:var(--soft);font-weight:400}tbody th{font-weight:400}
.counts td:first-child{width:11rem}.state{font-weight:600;white-space:nowrap}.state[data-state=outside]{color:var(--outside)}
.entry{break-inside:avoid-page;margin:.5rem 0;padding:.5rem 0;border-top:1px solid var(--line)}
.entry table{break-inside:auto}tr,figure,.keep{break-inside:avoid}
figure{margin:.5rem 0}main{min-width:0}svg{display:block;width:100%;height:auto;max-width:44rem}img{max-width:100%;max-height:16rem}
.correction{border-left:4px solid var(--line);padding-left:.75rem}
.box{border:1px solid var(--ink);padding:.75rem 1rem;margin:.75rem 0}
@media screen and (max-width:40rem){body{padding:.75rem}table,thead,tbody,tr,th,td{display:block}thead{display:none}td:empty{display:none}dl{grid-template-columns:1fr}}
@page{margin:14mm}
@media print{body{max-width:none;padding:0;font-size:9.5pt}h2{break-after:avoid}h3{break-after:avoid}.first{break-after:page}}
`
