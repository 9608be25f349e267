// The way in, where the tab has no key or not that of the server that runs now. Work that is open goes on below it.
import {serverState} from "./api";
import {byId} from "./dom";
import {keepKey, readPasted} from "./key";

/** @param open  is there a file on the page? */
export function showEnter(open: boolean): void {
  const outside = serverState() === "key", section = byId("enter"), first = outside && section.hidden;
  section.hidden = !outside;
  section.setAttribute("role", open ? "region" : "main");
  document.body.classList.toggle("outside", outside && !open);
  if (!first) return;
  byId("enter-title").textContent = open ? "The server has a new key" : "The key is missing";
  byId("enter-why").textContent = open ? "The server was started again, and a new key belongs to each start. Your work is kept in this browser: carry on, or enter the key now."
    : "The drive files are shown only to someone who has the key. It is new at every start of the server.";
  byId("enter-wrong").textContent = "";
  if (!open) byId("enter-address").focus();
}

/** @param connect  asks the server something with the key */
export function onEnter(connect: () => Promise<void>): void {
  byId("enter-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const entry = byId<HTMLInputElement>("enter-address"), read = readPasted(entry.value, location.port);
    byId("enter-wrong").textContent = "wrong" in read ? read.wrong : "";
    if ("wrong" in read) return;
    keepKey(read.key);
    void connect().then(() => {
      if (serverState() === "key") byId("enter-wrong").textContent = "This is not the key of the server that is running. Copy the address that it printed last.";
      else entry.value = "";
    });
  });
}
