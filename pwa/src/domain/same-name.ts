/** Whether two names are written alike. `people/rules.py` decides alike, and says why. */
const NO_NAMES = new Set("mr mrs ms miss mx dr prof sir dame lady lord rev sr jr fr".split(" "));
const PLAIN: Readonly<Record<string, string>> = {
  ...{ ø: "o", ł: "l", đ: "d", ð: "d", þ: "th", æ: "ae", œ: "oe" },
  // At the end of a word; where cases are folded it is as in the middle.
  ς: "σ",
};
const APOSTROPHES = /['`’‘ʼ´]/g;

export function sameName(one: string, other: string): boolean {
  const [first, second] = [named(one), named(other)];
  if (first.length === 0) return false;
  const alike = first.every((word) => second.includes(word));
  const reached = second.every((word) => first.includes(word));
  return (alike && reached) || first.join("") === second.join("");
}

function named(name: string): string[] {
  const all = words(name);
  const own = all.filter((word) => !NO_NAMES.has(word));
  return own.length > 0 ? own : all;
}

/** Letters stay, marks on them go, anything else parts words. */
function words(name: string): string[] {
  // To capitals and back takes apart what one letter writes for two.
  const folded = name.replace(APOSTROPHES, "").normalize("NFKD").toUpperCase().toLowerCase();
  const plain = folded.normalize("NFKD").replace(/\p{M}/gu, "");
  const letters = plain.replace(/./gsu, (each) =>
    /\p{L}/u.test(each) ? (PLAIN[each] ?? each) : " ",
  );
  return letters.split(" ").filter(Boolean);
}
