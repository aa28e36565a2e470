// What the page says: each text by its name, its places in braces filled in.

let texts;

// Returns a function that says the text of a name; a name that is not there is said itself.
export async function words() {
  texts ??= fetch(new URL("texts/en.json", import.meta.url)).then((answer) => answer.json());
  const all = await texts;
  return (name, fields = {}) => {
    const text = name.split(".").reduce((part, key) => part?.[key], all);
    if (typeof text !== "string") return name;
    return text.replace(/\{(\w+)\}/g, (whole, field) => String(fields[field] ?? whole));
  };
}
