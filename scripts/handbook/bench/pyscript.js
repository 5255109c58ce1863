/** Notes when a page of PyScript shows what its script displays. */
window.furrowbookWatch.noteAnswer(document, "script-py");
