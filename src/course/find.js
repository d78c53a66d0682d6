/*
 * Finds lessons on the index of a course: those whose title, subtitle or part has every word that is
 * typed, at the level that is chosen. Without this script the page has all lessons, and the
 * browser's own search.
 */
'use strict';

const finder = document.getElementById('finder');
const lessons = [...document.querySelectorAll('.lessons > li')];

/* Without case and accents: "cafe" finds "Café". */
function plain(text) {
  return text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();
}

function textOf(lesson) {
  const part = lesson.closest('section').querySelector('h2');
  return plain(`${lesson.querySelector('.name').textContent} ${part.textContent}`);
}

function show() {
  const words = plain(finder.elements.words.value).split(/\s+/);
  const level = finder.elements.level.value;
  for (const lesson of lessons) {
    const text = textOf(lesson);
    const right = !level || lesson.dataset.level === level;
    lesson.hidden = !right || !words.every((word) => text.includes(word));
  }
  document.querySelectorAll('section').forEach((section) => {
    section.hidden = !section.querySelector('.lessons > li:not([hidden])');
  });
  const found = lessons.filter((lesson) => !lesson.hidden).length;
  finder.querySelector('p').textContent = `${finder.dataset.found}: ${found}`;
}

const levels = new Set(lessons.map((lesson) => lesson.dataset.level).filter(Boolean));
finder.elements.level.append(...[...levels].map((level) => new Option(level, level)));
finder.elements.level.closest('label').hidden = levels.size < 2;
finder.addEventListener('input', show);
finder.addEventListener('submit', (event) => event.preventDefault());
finder.hidden = lessons.length < 2;
show();
