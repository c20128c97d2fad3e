/**
 * Egret V2 pin assignments
 */
#pragma once
#if NOT_TARGET(STM32F4)
  #error "Oops! Select the right board."
#endif
#define BOARD_INFO_NAME "Egret V2"
#define SERVO0_PIN                          PC_11
//
// Limit switches
//
#ifdef X_STALL_SENSITIVITY
  #define X_STOP_PIN                  PD_0
#else
  #define X_STOP_PIN                  PC15
#endif
#define Z_MIN_PIN                           PB_10
#ifndef Z_MIN_PROBE_PIN
  #define Z_MIN_PROBE_PIN                   PE4   // probe
#endif
//
// Steppers
//
#define E0_STEP_PIN                         PD15
#define E0_DIR_PIN                          PD6
#define E0_ENABLE_PIN                       PC7
//
// Temperature sensors
//
#define TEMP_0_PIN                          PC_1  // T0
#define TEMP_1_PIN                          PC2
#define TEMP_BED_PIN                        PC3
//
// Heaters / fans
//
#define HEATER_0_PIN                        PB1
#define HEATER_1_PIN                        PB_0
#define HEATER_BED_PIN                      PD14
#ifndef FAN_PIN
  #define FAN_PIN                           PC8
#endif
#define FAN1_PIN                            PE5
#define FAN2_PIN                            PE6
#ifndef E0_AUTO_FAN_PIN
  #define E0_AUTO_FAN_PIN FAN1_PIN
#endif
