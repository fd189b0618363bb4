// Whoever comes from a page takes along through the front page what was set up there: its address
// has it (page.js), and so do the links to the pages then.
for (const link of document.querySelectorAll(".ge-door, .ge-pages a")) link.search = location.search;
