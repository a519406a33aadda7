" A writer at work in Vim, without a screen, with the client of the package vim-ale. Ends with an error where anything is not as it
" should be.
function! Fail(words)
  call writefile(['vim: ' . a:words], '/dev/stderr')
  cquit
endfunction
function! Wait(words, is_so)
  let left = 100
  while left > 0 && !eval(a:is_so)
    sleep 100m
    let left -= 1
  endwhile
  if !eval(a:is_so)
    call Fail('waited in vain: ' . a:words)
  endif
endfunction
function! Work(timer)
  try
    execute 'edit ' . $DRAFT
    let line = search('from nape toward down')
    execute line . 's/from nape/from napee/'
    call ale#Queue(0)
    call Wait('a message', '!empty(filter(copy(ale#statusline#Count(bufnr()).total > 0 ? getloclist(0) : []), {_, one -> one.text =~ "napee"}))')
    execute line . 's/napee/nape/'
    call ale#Queue(0)
    call Wait('no messages', 'ale#statusline#Count(bufnr()).total == 0')
    call cursor(line, match(getline(line), 'nape toward') + 2)
    ALEGoToDefinition
    call Wait('where it is drawn', 'getline(".") =~ "point nape = origin"')
    qall!
  catch
    call Fail(v:exception . ' at ' . v:throwpoint)
  endtry
endfunction
call timer_start(200, 'Work')
