"""The page: `hobwind open [BUILD]`. It does no physics; it calls the same functions as the command line.

**State.** The server holds no build. Each browser tab holds the text of its build (with undo and redo, in the tab's own
storage) and sends it with every request. What the server keeps is a small cache of answers by text, running jobs, and the
one folder in which it may read and write build files.

**How to add a section.** One file in `sections/`, one template, one script; nothing else changes except one line in the
table of `sections/__init__.py`:

1. `sections/bin.py` makes `SECTION = Section(key="bin", title="Bin", says="...", template="bin.html", router=router,
   script="bin.js")`. `router` is a FastAPI `APIRouter`; its routes are served below `/api/bin`. Give every route a typed
   body and a typed answer (pydantic models): that is its documentation at `/api`, and the tests fuzz it. `context`, if
   given, is a function from a `Visit` to extra values for the template; with `visit.plain` (scripts off) it should compute
   what the section shows, otherwise leave long work to the script.
2. `templates/bin.html` extends `frame.html` and fills `{% block main %}`. No inline script, no `style=`: the content
   policy forbids both. Text is escaped by the template; never mark user text as safe.
3. `static/bin.js` is an ES module. `import { tab } from "./tab.js"`: `tab.text` is the build, `tab.put(text, why)` changes
   it (one undo step), `tab.watch(f)` calls `f` when it changed. `ask("/api/bin/rank", {text: tab.text})` from `ask.js`
   posts JSON, gives the answer, or throws an `Error` whose message is the sentence to show; calls that share a `lane` drop
   older answers (the newest wins).
4. Long work: the route calls `workshop.jobs.start("odds", work)` and returns its `JobState`; `work(watch)` calls
   `watch.tell(share, says)` now and then: that shows progress, and raises `Stopped` once the user pressed stop. Work in
   slices of a tenth of a second, so that other tabs stay quick. In the browser: `follow(state, box)` from `jobs.js` polls
   `GET /api/jobs/{id}`, shows the bar and the stop button in `box`, and gives the result.
5. Every figure is `<span data-figure="KEY">` in server text or `figure(KEY, text)` in a script, with its `why` button
   beside it (`why.html`'s macro, or `why(KEY)` from `why.js`); the equation behind KEY is a row in `whys.py`. A row or a
   table whose figures one why explains carries `data-figure` itself; what is given and not worked out, `data-given`.
   Rows of several builds side by side: `why_within(box, context)` from `why.js` says what the whys in `box` ask with.
   Lines of a build file are tried, kept or dropped with `try_it` from `try.js`.
6. Text of the build comes in as `BuildText` (`asking.py`); `read_build(asked, workshop)` gives the `Build` or answers 422
   with the problems, each with its place in the file. Routes raise `HobwindError`s freely: the server turns them into
   the same sentence with status 422.
7. Pictures: charts go to the browser as the Altair specification (`chart.to_dict()`), drawn by `chart.js`.
8. A figure that the server cannot work out again (of a log, of the diary, of the bench) comes with its own why: a
   `ToldFigure` from `whys_trial.py`. Further pages of a section hang below its address as `Section(more=...)`. Files come
   in as base64 inside JSON (`upload.js`, `trial_logs.py`); only Trial and Diary may send more than `MOST_BODY`.
9. Tests count figures and whys (`tests/page/test_page_counts.py`, `tests/journeys/test_counts.py`): a number with a unit
   that stands by itself fails without its why. `tests/page` without a browser (the table's sections are opened with and
   without scripts, fuzzed, and checked for kept-off words there by themselves), `tests/journeys` in Chromium (axe,
   screenshots of every section at both widths).
"""
