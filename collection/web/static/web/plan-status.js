// Reload the page once what is being worked out is ready: a day plan, a file, the season. Without this the reader reloads by hand.
const box = document.querySelector("[data-plan-url]");
const AT_WORK = ["waiting", "working"];

async function look() {
  try {
    const reply = await fetch(box.dataset.planUrl, { headers: { Accept: "application/json" } });
    if (!reply.ok) return;
    const plan = await reply.json();
    if (!AT_WORK.includes(plan.state)) {
      location.reload();
      return;
    }
  } catch (error) {
    // No signal: ask again later.
  }
  setTimeout(look, 1500);
}

if (box) setTimeout(look, 1000);
