// A new drive file: from nothing, from an example that comes with the program, or from a photo. The texts are the program's.
import {call, failureOf} from "./api";
import {byId, h} from "./dom";
import {optionField, type Option, type Options} from "./option-field";
import {withEnding} from "./review";
import type {DriveFile} from "./types";

interface Beginnings { choices: Option[]; examples: {file: string; title: string}[] | null }
type From = "nothing" | "example" | "photo";
const FROM: [From, string, string][] = [["nothing", "Nothing", "a drive that runs; its placeholders are marked MEASURE, with how to measure each"],
  ["example", "An example", "a copy to change"], ["photo", "A photo", "the same as from nothing; then places and diameters are measured from your photo"]];

/** @param done  opens the file that was written; `photo`: with the photo panel */
export class Begin {
  private known: Beginnings | null = null;
  private from: From = "nothing";
  private options: Options = {};
  touched = false; // somebody has begun to fill it in
  constructor(private readonly dialog: (title: string, ...body: HTMLElement[]) => HTMLDialogElement, private readonly done: (file: string, photo: boolean) => Promise<void>) {}

  private async load(): Promise<Beginnings> { return this.known ??= (await call<Beginnings>("GET", "/api/begin")).body; }

  /** Where there is no file to show. */
  async onPage(): Promise<void> {
    const section = byId("begin");
    if (!section.hidden) return;
    const known = await this.load();
    section.hidden = false;
    document.body.classList.add("empty");
    section.replaceChildren(h("h2", {id: "begin-title"}, "Begin a drive"), h("p", {}, "There is no drive file in this folder yet."), this.form(known, null));
    section.querySelector("input")?.focus();
  }
  leavePage(): void { byId("begin").hidden = true; byId("begin").replaceChildren(); this.touched = false; document.body.classList.remove("empty"); }
  async inDialog(): Promise<void> {
    const known = await this.load(), form = this.form(known, () => box.close()), box = this.dialog("New drive file", form);
    form.querySelector("input")?.select();
  }

  private form(known: Beginnings, cancel: (() => void) | null): HTMLFormElement {
    const name = h("input", {id: "begin-name", value: "drive.yaml", size: 26, spellcheck: "false", autocomplete: "off", autofocus: true, "aria-describedby": "begin-wrong"});
    const wrong = h("p", {class: "wrong", id: "begin-wrong", role: "alert"}), more = h("div", {class: "fields"});
    const example = h("select", {id: "begin-example", "aria-label": "Example"}, ...(known.examples ?? []).map((one) => h("option", {value: one.file}, `${one.title || one.file}`)));
    const draw = (): void => more.replaceChildren(...(this.from === "example"
      ? [known.examples ? example : h("p", {}, "No examples are installed with this snub. They come with its package, in share/snub/examples.")]
      : known.choices.map((one) => optionField(one, this.options, "begin"))));
    const go = h("button", {class: "main", type: "submit"}, "Write the file");
    const radios = FROM.map(([id, title, words]) => h("label", {class: "radio"}, h("input", {type: "radio", name: "begin-from", value: id, checked: id === this.from, onchange: () => { this.from = id; draw(); }}), h("b", {}, title), h("small", {}, ` ${words}`)));
    draw();
    return h("form", {class: "begin", oninput: () => { this.touched = true; wrong.textContent = ""; name.removeAttribute("aria-invalid"); }, onsubmit: (event: Event) => {
      event.preventDefault();
      go.disabled = true;
      void this.write(withEnding(name.value), example.value).then((words) => { wrong.textContent = words ?? ""; if (words === null) cancel?.(); else { name.setAttribute("aria-invalid", "true"); name.focus(); } }).finally(() => { go.disabled = false; });
    }}, h("p", {}, h("label", {for: "begin-name"}, "Name of the file "), name), h("fieldset", {}, h("legend", {}, "From"), ...radios), more, wrong,
      h("p", {}, go, " ", cancel ? h("button", {type: "button", onclick: cancel}, "Cancel") : null));
  }

  /** @return what is wrong; null: it is written and open */
  private async write(file: string, example: string): Promise<string | null> {
    if (this.from === "example" && !example) return "There is no example to copy.";
    try {
      const {body} = await call<DriveFile>("POST", "/api/begin", this.from === "example" ? {file, example} : {file, options: this.options});
      await this.done(body.file, this.from === "photo");
      Object.assign(this, {from: "nothing", options: {}});
      return null;
    } catch (error) {
      return failureOf(error);
    }
  }
}
