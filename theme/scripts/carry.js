// @ts-check
// What is written into a closing check, kept with every letter for as long as its tab is open: a page that is read again,
// or in another language, has it. It knows nothing of what an answer means.

const NAME = 'centrode-check';

/** The check, in whatever language. */
const which = () => location.pathname.replace(/^\/[a-z]{2}\//, '/');

/** @param {string} set @param {string[]} answers */
export function carry(set, answers) {
  try {
    sessionStorage.setItem(NAME, JSON.stringify({ check: which(), set, answers }));
  } catch {
    // A browser that keeps nothing still has what the page's own entry in its history holds.
  }
}

/** @param {string} set @returns {string[] | null} null when nothing was written with that set */
export function carried(set) {
  try {
    const { check, set: of, answers } = JSON.parse(sessionStorage.getItem(NAME) ?? '{}');
    return check === which() && of === set && Array.isArray(answers) ? answers.map(String) : null;
  } catch {
    return null; // as before the first letter
  }
}
