// What the page's scripts have in common. Each script begins with this, so that the bundler puts all of it into one
// script that is there already; build.mjs fails where it makes more than one.
import "./api";
import "./dom";
import "./draw-shapes";
import "./drawing";
import "./edits";
import "./fasteners";
import "./flow";
import "./limits";
import "./later";
import "./local";
import "./panels";
import "./paths";
import "./plot-library";
import "./shape-grips";
import "./store";
import "./typed";
import "./units";
