// Keeps the evidence and note that somebody is typing, in this tab only, until the box is left and its text is stored.
// A reload or a restart in between brings the text back into its box, which then waits to be left as before.
(() => {
  if (window.typedTextsKept) return;
  window.typedTextsKept = true;
  const BOXES = '[class*="st-key-evidence_"] input, [class*="st-key-note_"] textarea';
  const PLACE = ['plant', 'system', 'group', 'zone', 'bank', 'q'];
  const looked = new WeakMap(); // where each box stood when it was last looked at: a box is drawn before its address

  const connected = () =>
    document.querySelector('[data-testid=stApp]')?.dataset.testConnectionState === 'CONNECTED';

  // Where a box stands: the address, and its widget without the number of a widget that replaced another.
  const name = (box) => {
    const at = new URLSearchParams(location.search);
    const widget = [...box.closest('[class*=st-key-]').classList].find((one) => one.startsWith('st-key-'));
    return JSON.stringify(['typed', location.pathname, ...PLACE.map((part) => at.get(part)), widget.replace(/--\d+$/, '')]);
  };

  const restore = (box) => {
    const here = name(box);
    if (looked.get(box) === here) return;
    looked.set(box, here);
    const text = sessionStorage.getItem(here);
    if (text === null || text === box.value) return;
    Object.getOwnPropertyDescriptor(Object.getPrototypeOf(box), 'value').set.call(box, text);
    box.dispatchEvent(new Event('input', { bubbles: true }));
    box.focus();
  };

  document.addEventListener('input', (event) => {
    if (event.target.matches(BOXES)) sessionStorage.setItem(name(event.target), event.target.value);
  });
  document.addEventListener('focusout', (event) => {
    if (event.target.matches(BOXES) && connected()) sessionStorage.removeItem(name(event.target));
  });
  const look = () => document.querySelectorAll(BOXES).forEach(restore);
  new MutationObserver(look).observe(document.body, { childList: true, subtree: true });
  look();
})();
