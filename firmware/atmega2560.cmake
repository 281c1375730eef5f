# The image for the ATmega2560: a second compiler in the same build. Objects are linked directly, never through a library: an
# interrupt handler in one is dropped without a word, because its vector has a weak default.

find_program(AVR_CXX avr-g++)
find_program(AVR_SIZE avr-size)
if(NOT AVR_CXX OR NOT AVR_SIZE)
  message(FATAL_ERROR "The firmware needs avr-g++ and avr-size: install gcc-avr, avr-libc and binutils-avr.")
endif()

set(AVR_FLAGS -mmcu=atmega2560 -DF_CPU=16000000UL -DPAIRMARK_VERSION="${PROJECT_VERSION}" -Os -g -std=c++14 -fno-exceptions
              -fno-rtti -fno-threadsafe-statics -ffunction-sections -fdata-sections -flto -Wall -Wextra -Werror)
# What makes this compiler's code small was found by trying: together they save a tenth. None changes what the code does.
list(APPEND AVR_FLAGS -mcall-prologues -mrelax -maccumulate-args -fno-inline-small-functions -finline-limit=2
     -fno-split-wide-types -fno-tree-scev-cprop -fno-move-loop-invariants -fno-tree-dominator-opts -fno-tree-pre
     -fno-guess-branch-probability -fno-jump-tables)
# What the build can weigh fails it here; tests/faults measures the rest of the same table.
set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/budgets.json)
file(READ ${CMAKE_CURRENT_SOURCE_DIR}/budgets.json AVR_BUDGETS)
string(JSON AVR_FLASH_LIMIT GET "${AVR_BUDGETS}" flash ceiling)
string(JSON AVR_RAM_LIMIT GET "${AVR_BUDGETS}" variables ceiling)

file(GLOB AVR_PROTOCOL CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/protocol/*.cpp)
file(GLOB AVR_FIRMWARE CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/core/*.cpp
     ${CMAKE_CURRENT_SOURCE_DIR}/board/atmega2560/*.cpp)
set(AVR_SOURCES ${AVR_PROTOCOL} ${AVR_FIRMWARE})  # in this order the linker's inlining comes out smaller
set(AVR_OBJECTS)
foreach(source ${AVR_SOURCES})
  file(RELATIVE_PATH name ${PROJECT_SOURCE_DIR} ${source})
  string(REPLACE "/" "_" name ${name})
  set(object ${CMAKE_CURRENT_BINARY_DIR}/avr/${name}.o)
  add_custom_command(
    OUTPUT ${object}
    COMMAND ${CMAKE_COMMAND} -E make_directory ${CMAKE_CURRENT_BINARY_DIR}/avr
    COMMAND ${AVR_CXX} ${AVR_FLAGS} -I${PROJECT_SOURCE_DIR} -MMD -MF ${object}.d -c ${source} -o ${object}
    DEPENDS ${source}
    DEPFILE ${object}.d
    COMMENT "avr-g++ ${name}"
    VERBATIM)
  list(APPEND AVR_OBJECTS ${object})
endforeach()

set(PAIRMARK_FIRMWARE_ELF ${CMAKE_CURRENT_BINARY_DIR}/pairmark-adapter.elf)
set(PAIRMARK_FIRMWARE_ELF ${PAIRMARK_FIRMWARE_ELF} PARENT_SCOPE)
add_custom_command(
  OUTPUT ${PAIRMARK_FIRMWARE_ELF}
  COMMAND ${AVR_CXX} ${AVR_FLAGS} -Wl,--gc-sections ${AVR_OBJECTS} -o ${PAIRMARK_FIRMWARE_ELF}.unchecked
  COMMAND ${CMAKE_COMMAND} -DSIZE=${AVR_SIZE} -DIMAGE=${PAIRMARK_FIRMWARE_ELF}.unchecked -DFLASH_LIMIT=${AVR_FLASH_LIMIT}
          -DRAM_LIMIT=${AVR_RAM_LIMIT} -P ${CMAKE_CURRENT_SOURCE_DIR}/check_size.cmake
  COMMAND ${CMAKE_COMMAND} -E rename ${PAIRMARK_FIRMWARE_ELF}.unchecked ${PAIRMARK_FIRMWARE_ELF}
  DEPENDS ${AVR_OBJECTS} ${CMAKE_CURRENT_SOURCE_DIR}/check_size.cmake
  COMMENT "linking and weighing pairmark-adapter.elf"
  VERBATIM)
add_custom_target(pairmark_firmware_image ALL DEPENDS ${PAIRMARK_FIRMWARE_ELF})
