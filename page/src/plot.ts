// The library that draws curves: a script of its own, since many a page never shows one.
export {default} from "uplot";
