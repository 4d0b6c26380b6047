" cotter in Vim and Neovim: what stands where, as the TextMate grammar beside it has it.

if exists("b:current_syntax")
  finish
endif

" A path is one word: what stands in it is no keyword.
syntax match cotterName "\<\a\k*\(\.\k\+\)*" contains=NONE
syntax match cotterWord "\(^\|[{;]\)\@<=\s*\(caution\|choice\|interface\|standard\|kind\|table\|function\|joint\|assembly\|extend\|part\|build\|stock\)\>\(\s*\(=[^=]\|\.[^.]\|[,)\]|]\)\)\@!"
syntax match cotterWord "\(^\|[{;]\)\@<=\s*\(use\|standalone\|remove\|field\|port\|fact\|written\|measure\|tool\|note\|source\|row\|by\|takes\|let\|require\|advise\|why\|may\|fasten\|thread\|torque\|printed\|prepare\|turn\|before\|settles\|uses\|consumes\|cut\|photo\|undo\|seized\|keep\|ready\|make\|proof\|slot\|join\|column\|through\|upon\|after\)\>\(\s*\(=[^=]\|\.[^.]\|[,)\]|]\)\)\@!"
syntax match cotterWord "\(\<build\s\+\k\+\s\+\)\@<=from\>"
syntax match cotterWord "\(\<extend\s\+\)\@<=\(kind\|assembly\|joint\)\>"
syntax match cotterWord "\(\<torque\s\+\)\@<=hand\>"
syntax match cotterWord "\<\(list\|range\|count\)\s\+of\>"
syntax match cotterWord "\<up\s\+to\>"
syntax match cotterWord "\<column\>\ze\s*\""
syntax match cotterWord "\<\(through\|upon\|after\|shares\)\>\ze\s\+\a"
syntax match cotterWord "\<\(and\|or\|not\|if\|then\|else\|is\|in\|when\|that\)\>"
syntax match cotterNumber "\k\@<!\d\+\(\.\d\+\|\( \+\d\+\)\?/\d\+\)\?\([x×]\d\+\|\s*\(%\|°\|in\>\|\(\<\(and\|or\|not\|if\|then\|else\|is\|in\|when\|that\)\>\)\@!\a[[:alnum:]·/²]*\)\)\?"
syntax match cotterMark "\.\.\|…\|±\|+/-\|+-\|[~≈]\|==\|!=\|<=\|>=\|[<>]\|\k\@<!?"
syntax match cotterFact "\(^\|[{;]\)\@<=\s*\a\k*\(\.\k\+\)*\ze\s*==\@!"
syntax region cotterString start=+"+ skip=+\\.+ end=+"+ end=+$+ oneline
syntax match cotterComment "#.*$"

highlight default link cotterWord Keyword
highlight default link cotterNumber Number
highlight default link cotterMark Operator
highlight default link cotterFact Identifier
highlight default link cotterString String
highlight default link cotterComment Comment

let b:current_syntax = "cotter"
