(function () {
"use strict";
var form = document.getElementById("reckoner");
var said = document.getElementById("reckoned");
var seams = [{% for name, left, u in seams %}[{{ left }}, {{ u }}]{{ ", " if not loop.last }}{% endfor %}];
var classes = [{% for low, name in classes %}[{{ low }}, "{{ name }}"]{{ ", " if not loop.last }}{% endfor %}];

function number(id) {
return parseFloat(document.getElementById(id).value.replace(",", "."));
}

function reckon(mass, stitches, rows, seam, density) {
var known = rows > 0;
var dense = 100 * stitches * (known ? rows : stitches * {{ rows_to_stitches }});
var loop = 100 * Math.sqrt({{ ks }} / dense);
var share = Math.log(loop / {{ fine[0] }}) / Math.log({{ coarse[0] }} / {{ fine[0] }});
var cover = {{ fine[1] }} + ({{ coarse[1] }} - {{ fine[1] }}) * Math.min(Math.max(share, 0), 1);
var wool = Math.pow(cover * loop, 2);
var best = 1000 * mass / (wool * density / {{ wool_density }}) * seam[0];
var errors = [{{ scale_g }} / mass / Math.sqrt(12), {{ not_yarn_u }}, {{ fixed_u|join(", ") }}, seam[1],
(known ? 1 : 2) * {{ half_stitch }} / stitches, known ? {{ half_stitch }} / rows : {{ rows_u }}];
var u = Math.sqrt(errors.reduce(function (sum, one) { return sum + one * one; }, 0));
return { best: best, sure: best / Math.exp({{ z }} * u), wool: 100000 / wool };
}

function tell() {
var mass = number("r-mass") * {{ mass_unit_g }}, stitches = number("r-stitches"), rows = number("r-rows");
if (!(mass > 0) || !(stitches > 0)) { said.textContent = "Fill in what it weighs, and the stitches in 10 cm."; return; }
var found = reckon(mass, stitches, rows, seams[number("r-seams")], number("r-fibre"));
var kind = classes.filter(function (one) { return found.wool >= one[0]; })[0][1];
function metres(length) { return Math.round(length / {{ length_unit_m }}) + " {{ length_unit }}"; }
said.textContent = "Be sure of " + metres(found.sure) + "; best guess " + metres(found.best) + ". Yarn like " + kind + ".";
}

form.addEventListener("input", tell);
form.addEventListener("submit", function (event) { event.preventDefault(); });
form.hidden = false;
tell();
}());
