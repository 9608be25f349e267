// What goes to the server and comes from it as files: a new drive, a save with what it changes, papers.
import "./shared";

export {Begin} from "./begin";
export {PapersPanel} from "./papers";
export {leaveSave, saveDialog} from "./review";
