/** Type: a serif face for text, a sans-serif one for plots and labels. */
export const type = `
:root{--serif:Charter,"Bitstream Charter","Sitka Text",Cambria,"Iowan Old Style","Palatino Linotype",Palatino,"Liberation Serif",Georgia,serif;--sans:"Gill Sans","Gill Sans Nova","Trebuchet MS","Segoe UI","Liberation Sans",Helvetica,Arial,sans-serif}
html{font:17px/1.5 var(--serif);color:var(--ink);background:var(--paper);-webkit-text-size-adjust:100%;hanging-punctuation:first}
h1,h2,h3,h4{font-weight:400;line-height:1.2;margin:0;text-wrap:balance}
h1{font-size:2.5rem;letter-spacing:-.01em}
h2{font-size:1.55rem}
h3{font-size:1.2rem;font-style:italic}
h4{font-size:.88rem;font-variant-caps:all-small-caps;letter-spacing:.06em;font-size:1.02rem}
p,ul,ol,dl{margin:.5rem 0}
p,li,dd{max-width:44rem}
a{color:inherit;text-decoration-color:var(--median);text-underline-offset:.15em}
a:hover{text-decoration-color:currentColor}
:focus-visible{outline:2px solid var(--before);outline-offset:2px}
table,.n,.counts,.place{font-variant-numeric:lining-nums tabular-nums}
code{font:.8em "Liberation Mono",Consolas,Menlo,monospace}
.soft{color:var(--soft)}
.kicker,caption,figcaption{font-size:.88rem;color:var(--soft)}
figcaption b,caption b{color:var(--ink);font-weight:600}
.service{--own:var(--service)}.watch{--own:var(--watch)}.setting{--own:var(--setting)}
.mark{color:var(--own,var(--soft));white-space:nowrap;font-size:.94em}
`;
