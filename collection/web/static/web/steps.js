// Figures in steps change on the page. Without this each button sends the form and it comes back changed.
const form = document.querySelector("form:has([data-step])");

function figure(input) {
  const typed = parseInt(input.value, 10);
  return Number.isNaN(typed) ? Number(input.dataset.earlier) : typed;
}

function again(box) {
  const value = box.dataset.same;
  if (!value) return;
  const radio = box.querySelector(`input[type=radio][value="${value}"]`);
  if (radio) radio.checked = true;
  else box.querySelector("input").value = value;
}

function press(event) {
  const button = event.target.closest("button");
  if (!button) return;
  const input = button.dataset.for ? document.getElementById(button.dataset.for) : null;
  if (input && button.dataset.step) {
    input.value = Math.max(0, figure(input) + Number(button.dataset.step));
  } else if (input && button.dataset.value) {
    input.value = button.dataset.value;
  } else if (button.dataset.all) {
    form.querySelectorAll("button[data-value]").forEach((one) => {
      document.getElementById(one.dataset.for).value = one.dataset.value;
    });
    form.querySelectorAll("[data-same]").forEach(again);
  } else {
    return;
  }
  event.preventDefault();
}

if (form) form.addEventListener("click", press);
