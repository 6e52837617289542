// @ts-check
// Addresses of pages in the language of this page: English stands at the root, any other language below its tag.

/** @param {string} address as in the book: "/lessons/the-finger/" */
export const place = (address) => {
  const { lang } = document.documentElement;
  return lang === 'en' ? address : `/${lang}${address}`;
};
