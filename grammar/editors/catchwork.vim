" Vim syntax file: the worksheet notation of catchwork.
" Copy it to ~/.vim/syntax/catchwork.vim, and have Vim use it for worksheets by a line in ~/.vimrc:
"   autocmd BufRead,BufNewFile *.worksheet setlocal filetype=catchwork

scriptencoding utf-8
if exists("b:current_syntax")
  finish
endif

syntax case ignore
" What a line is may be told by the lines above it.
syntax sync fromstart

" Inside a line. These expressions are quicker by Vim's older engine, `\%#=1`. What is defined later comes first where two match at one place.
syntax match catchworkOperator /\%#=1[-+*\/^×·⋅÷−<>≤≥=±.,;]/ contained
syntax match catchworkName /\%#=1\<\%(\%(to\|of\|per\|from\|within\|by\|and\|or\|not\|if\|then\|else\|is\|where\|at\s\+\%(most\|least\)\|\%(more\|less\)\s\+than\)\>[-'’]\@!\)\@![A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9_'’]\|-[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\@=\)*\%(\s\+\%(\%(to\|of\|per\|from\|within\|by\|and\|or\|not\|if\|then\|else\|is\|where\|at\s\+\%(most\|least\)\|\%(more\|less\)\s\+than\)\>[-'’]\@!\)\@![A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9]\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9_'’]\|-[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\@=\)*\)*/ contained
syntax match catchworkKeyword /\%#=1\<\%(up\s\+to\|at\s\+\%(most\|least\)\|\%(more\|less\)\s\+than\|is\s\+not\|to\|of\|per\|from\|within\|by\|and\|or\|not\|then\|is\|where\)\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9_]\|['’-][A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\)\@!/ contained
syntax match catchworkConstant /\%#=1\<\%(yes\|no\|pi\|today\)\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9_]\|['’-][A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\)\@!\%(\s\+\%(\%(to\|of\|per\|from\|within\|by\|and\|or\|not\|if\|then\|else\|is\|where\|at\s\+\%(most\|least\)\|\%(more\|less\)\s\+than\)\>[-'’]\@!\)\@![A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9]\|\s*(\)\@!/ contained
syntax match catchworkFunction /\%#=1\<[a-z]\+(\@=/ contained
syntax match catchworkFunction /\%#=1\<\%(round\|circle\|swath\|widest\|standard\|give\s\+or\|degrees\s\+of\)\s\+[a-z]\+(\@=/ contained
syntax match catchworkUnit /\%#=1\%(\%(\%(to\|of\|per\|from\|within\|by\|and\|or\|not\|if\|then\|else\|is\|where\|at\s\+\%(most\|least\)\|\%(more\|less\)\s\+than\)\>[-'’]\@!\)\@!\%([Δ∆]\=[°º]\)\=[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ][A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ'.]*[0-9]\=\%(\s\+\%(\%(to\|of\|per\|from\|within\|by\|and\|or\|not\|if\|then\|else\|is\|where\|at\s\+\%(most\|least\)\|\%(more\|less\)\s\+than\)\>[-'’]\@!\)\@!\%([Δ∆]\=[°º]\)\=[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ][A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ'.]*[0-9]\=\)*\|%\%(\s*[vw]\/[vw][A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\@!\)\=\)/ contained
syntax match catchworkNumber /\%#=1\%([0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒]\|\.[0-9]\@=\)\%([0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒]\|[.,:\/⁄–-][0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒]\@=\|e[+−-]\=[0-9]\+[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\@!\)*\%(\s\+\%([0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒]\|\.[0-9]\@=\)\%([0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒]\|[.,:\/⁄–-][0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒]\@=\|e[+−-]\=[0-9]\+[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\@!\)*\)*/ contained nextgroup=catchworkUnit skipwhite
syntax match catchworkBlank /\%#=1__\+/ contained nextgroup=catchworkUnit skipwhite
syntax match catchworkDate /\%#=1[0-9]\{4}-[0-9]\{1,2}-[0-9]\{1,2}[0-9-]\@!\%([T \t]\+[0-9]\{1,2}:[0-9]\{2}\)\=/ contained
syntax region catchworkChoice matchgroup=catchworkKeyword start=/if\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9_]\|['’-][A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\)\@!/ end=/else\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9_]\|['’-][A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\)\@!/ contained transparent contains=@catchworkFormula
syntax match catchworkRounding /\%#=1,\@1<=\s*\%(up\|down\)\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9_]\|['’-][A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\)\@!/ contained
syntax region catchworkShown start=/\[/ end=/\]/ contained contains=catchworkOperator,catchworkKeyword,catchworkUnit,catchworkNumber,catchworkRounding
syntax region catchworkString start=/"/ end=/"/ contained
syntax region catchworkString start=/“/ end=/”/ contained
syntax match catchworkRemark /\%#=1\s\@1<=--\%(\s.*\)\=$/ contained
syntax cluster catchworkFormula contains=catchworkOperator,catchworkName,catchworkKeyword,catchworkConstant,catchworkFunction,catchworkNumber,catchworkBlank,catchworkDate,catchworkChoice,catchworkShown,catchworkString,catchworkRemark

" Lines by their first characters, each with those that continue it.
syntax region catchworkTitle keepend start=/^ \=#/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/
syntax region catchworkSection keepend start=/^ \=##/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/
syntax region catchworkNote keepend start=/^ \=--/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/
syntax region catchworkCaution keepend start=/^ \=!/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/
syntax match catchworkCheck /\%#=1\%(^ \=?\)\@4<=[^:]*/ contained
syntax region catchworkAdvice matchgroup=catchworkKeyword start=/else\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9_]\|['’-][A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\)\@!/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/ contained
syntax region catchworkCheckLine keepend start=/\%#=1^ \=?/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/ contains=catchworkCheck,catchworkAdvice,@catchworkFormula
syntax match catchworkChart /\%#=1\%(^ \=\~\)\@4<=[^:]*/ contained
syntax region catchworkChartLine keepend start=/\%#=1^ \=\~/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/ contains=catchworkChart,@catchworkFormula
syntax match catchworkBar /\%#=1|/ contained nextgroup=catchworkColumn,catchworkRowRemark skipwhite
syntax match catchworkColumn /\%#=1\<\%(\%(to\|of\|per\|from\|within\|by\|and\|or\|not\|if\|then\|else\|is\|where\|at\s\+\%(most\|least\)\|\%(more\|less\)\s\+than\)\>[-'’]\@!\)\@![A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9_'’]\|-[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\@=\)*\%(\s\+\%(\%(to\|of\|per\|from\|within\|by\|and\|or\|not\|if\|then\|else\|is\|where\|at\s\+\%(most\|least\)\|\%(more\|less\)\s\+than\)\>[-'’]\@!\)\@![A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9]\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9_'’]\|-[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\@=\)*\)*\%(\s*[:=]\)\@=/ contained
syntax match catchworkRowRemark /\%#=1--\%(\s.*\)\=$/ contained
syntax region catchworkRow keepend start=/^ \=\ze|/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/ contains=@catchworkFormula,catchworkBar
syntax match catchworkMeasure /\%#=1\%(^ \=1\s\+\)\@<=[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9_'’]\|-[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\@=\)*/ contained
syntax region catchworkMeasureLine keepend start=/\%#=1^ \=1\s\+\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\%([A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ0-9_'’]\|-[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ]\@=\)*\s*\%(=\|--\|$\)\)\@=/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/ contains=catchworkMeasure,@catchworkFormula
syntax match catchworkPinned /\%#=1pinned\s\+[A-Za-z0-9]\+/ contained
syntax region catchworkTemplate keepend start=/^ \=from\s*["“]\@=/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/ contains=catchworkPinned,@catchworkFormula
syntax match catchworkDrawn /\%#=1\%(^ \=\)\@2<=[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ][^:="“|]\{-}\%(\s\+from\s\+["“]\)\@=/ contained
syntax region catchworkDrawnLine keepend start=/\%#=1^ \=\ze[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ][^:="“|]\{-}\s\+from\s\+["“]/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/ contains=catchworkDrawn,catchworkPinned,@catchworkFormula
syntax match catchworkEntry /\%#=1\%(^ \=\)\@2<=[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ][^:="“|]\{-}\%(\s*:\)\@=/ contained
syntax region catchworkEntryLine keepend start=/\%#=1^ \=\ze[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ][^:="“|]\{-}\s*:/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/ contains=catchworkEntry,@catchworkFormula
syntax match catchworkResult /\%#=1\%(^ \=\)\@2<=[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ][^:="“|]\{-}\%(\s*=\)\@=/ contained
syntax region catchworkResultLine keepend start=/\%#=1^ \=\ze[A-Za-zÀ-ÖØ-öø-ÿĀ-ſƀ-ɏ][^:="“|]\{-}\s*=/ end=/\_$\%(\n\%( \s\|\t\)\s*\S\)\@!/ contains=catchworkResult,@catchworkFormula

highlight default link catchworkTitle Title
highlight default link catchworkSection Title
highlight default link catchworkNote Comment
highlight default link catchworkCaution WarningMsg
highlight default link catchworkCheck Label
highlight default link catchworkAdvice String
highlight default link catchworkChart Label
highlight default link catchworkBar Delimiter
highlight default link catchworkColumn Identifier
highlight default link catchworkRowRemark Comment
highlight default link catchworkMeasure Type
highlight default link catchworkPinned PreProc
highlight default link catchworkDrawn Include
highlight default link catchworkEntry Identifier
highlight default link catchworkResult Function
highlight default link catchworkOperator Operator
highlight default link catchworkName Normal
highlight default link catchworkKeyword Keyword
highlight default link catchworkConstant Constant
highlight default link catchworkFunction Function
highlight default link catchworkUnit Type
highlight default link catchworkNumber Number
highlight default link catchworkBlank Todo
highlight default link catchworkDate Constant
highlight default link catchworkRounding Keyword
highlight default link catchworkShown Delimiter
highlight default link catchworkString String
highlight default link catchworkRemark Comment

let b:current_syntax = "catchwork"
