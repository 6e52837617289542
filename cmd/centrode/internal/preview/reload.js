// @ts-check
// Reloads the page when the preview has built a newer edition, and says in one line why it could not. Served and
// injected by the preview only; it knows nothing of the site.

const own = /** @type {HTMLScriptElement | null} */ (document.querySelector('script[data-edition]'));
const shown = Number(own?.dataset.edition);
const line = document.createElement('p');
line.className = 'preview-trouble';
line.setAttribute('role', 'status');

/** @type {EventSource | undefined} */
let events;

/** @param {MessageEvent} event whose data is the edition, a space, and the trouble as a JSON string */
function hear(event) {
  const text = String(event.data);
  const gap = text.indexOf(' ');
  if (Number(text.slice(0, gap)) !== shown) {
    location.reload();
    return;
  }
  line.textContent = JSON.parse(text.slice(gap + 1));
  if (line.textContent) document.body.append(line);
  else line.remove();
}

// A browser keeps few connections to one host: only the page that is looked at listens.
function listen() {
  events?.close();
  if (document.hidden) return;
  events = new EventSource('/_preview/events');
  events.addEventListener('message', hear);
}

document.addEventListener('visibilitychange', listen);
listen();
