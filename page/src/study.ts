// What takes many builds: the search for a better bracket, and kits within their tolerances. Their tabs fetch it.
import "./shared";

export {KitsPanel} from "./study-kits";
export {SearchPanel} from "./study-search";
