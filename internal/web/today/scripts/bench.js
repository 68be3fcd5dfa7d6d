// Says at the bench when a tap did not reach the shop, so that nobody believes it counted. Tapping again counts it once: the key of
// the tap is still the same.
"use strict";
document.addEventListener("htmx:sendError", () => {
  const said = document.getElementById("said");
  const notice = document.createElement("div");
  notice.className = "notice wrong";
  notice.setAttribute("role", "alert");
  notice.append(Object.assign(document.createElement("p"), {textContent: "Not counted: the shop does not answer. Tap again."}));
  said.replaceChildren(notice);
  scrollTo({top: 0});
});
