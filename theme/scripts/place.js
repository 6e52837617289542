// @ts-check
// Addresses of pages in the language of this page: English stands at the root, any other language below its tag.

/** @param {string} address as in the book: "/lessons/the-finger/" */
export const place = (address) => {
  const { language = 'en' } = document.documentElement.dataset; // not lang: a browser that translates a page writes its own there
  return language === 'en' ? address : `/${language}${address}`;
};

/** The address as in the book, whatever the language of the page that stands there. @param {string} path */
export const inBook = (path) => path.replace(/^\/[a-z]{2}\//, '/');
